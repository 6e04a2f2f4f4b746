# Two stages: build a static binary, then carry it alone.
FROM golang:1.26 AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
RUN CGO_ENABLED=0 go build -trimpath -ldflags='-s -w' -o /boxwright ./cmd/boxwright
# An empty folder that belongs to the user the server runs as.
RUN mkdir /data && chown 65532:65532 /data

FROM scratch
COPY --from=build /boxwright /boxwright
COPY --from=build --chown=65532:65532 /data /data
USER 65532:65532
VOLUME /data
EXPOSE 8080
HEALTHCHECK --interval=30s --timeout=5s --start-period=5s CMD ["/boxwright", "health", "-addr", "127.0.0.1:8080"]
ENTRYPOINT ["/boxwright"]
CMD ["serve", "-addr", ":8080", "-data", "/data"]

package api

import (
	"encoding/json"
	"testing"
)

// body is an attempt of 24 strokes of 120 samples, as clients send them.
func body() []byte { return EncodeAttempt(drawn(twoPoint(), 24, 120)) }

func BenchmarkDecodeAttempt(b *testing.B) {
	doc := body()
	b.SetBytes(int64(len(doc)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := DecodeAttempt(doc); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDecodeAttemptPlain is the yardstick: encoding/json, same body.
func BenchmarkDecodeAttemptPlain(b *testing.B) {
	doc := body()
	b.SetBytes(int64(len(doc)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := plainDecode(doc); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEncodeAttempt(b *testing.B) {
	a := drawn(twoPoint(), 24, 120)
	b.ReportAllocs()
	for b.Loop() {
		EncodeAttempt(a)
	}
}

func BenchmarkEncodeAttemptPlain(b *testing.B) {
	a := drawn(twoPoint(), 24, 120)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := json.Marshal(a); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEncodeGrade(b *testing.B) {
	g := gradeAllWays()
	b.ReportAllocs()
	for b.Loop() {
		EncodeGrade(g)
	}
}

func BenchmarkDecodeExercise(b *testing.B) {
	doc := EncodeExercise(twoPoint(), true)
	b.SetBytes(int64(len(doc)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := DecodeExercise(doc); err != nil {
			b.Fatal(err)
		}
	}
}

package perspective

type fact struct{}

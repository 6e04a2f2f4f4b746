package api

import (
	"bytes"
	"reflect"
	"testing"
)

// TestEveryDrill: every field of an exercise comes back, and before the
// hand-in the ends that are not drawn and the bent edges are not there.
func TestEveryDrill(t *testing.T) {
	x := everyDrill()
	b := EncodeExercise(x, true)
	got, err := DecodeExercise(b)
	if err != nil {
		t.Fatalf("%v\n%s", err, b)
	}
	if again := EncodeExercise(got, true); !bytes.Equal(again, b) {
		t.Errorf("written again it is\n%s\nnot\n%s", again, b)
	}
	for _, c := range [][2]any{{got.Targets, x.Targets}, {got.Lines, x.Lines}, {got.Asked, x.Asked}, {got.Edges, x.Edges}} {
		if !reflect.DeepEqual(c[0], c[1]) {
			t.Errorf("got %+v, want %+v", c[0], c[1])
		}
	}
	withheld := EncodeExercise(x, false)
	for _, secret := range []string{`"bent"`, `"by_deg"`, "[59,26]", "[53,58]", "[97,93]"} {
		if bytes.Contains(withheld, []byte(secret)) {
			t.Errorf("%s is in %s", secret, withheld)
		}
		if !bytes.Contains(b, []byte(secret)) {
			t.Errorf("%s is not in %s", secret, b)
		}
	}
	if _, err := DecodeExercise(withheld); err == nil {
		t.Error("a withheld exercise is taken for one with its answers")
	}
}

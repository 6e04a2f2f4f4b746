package drill

import (
	"errors"
	"reflect"
	"testing"
)

// FuzzNew holds New to its laws for any arguments: it refuses with a known
// error, or makes a sound exercise whose givens fix it, twice the same.
func FuzzNew(f *testing.F) {
	f.Add("join", "none", 1, uint64(0))
	f.Add("finish", "one", 4, uint64(1))
	f.Add("finish", "two", 7, uint64(9007199254740993))
	f.Add("finish", "three", 10, ^uint64(0))
	f.Add("finish", "none", 0, uint64(3))
	f.Fuzz(func(t *testing.T, kind, view string, level int, seed uint64) {
		k, v := Kind(kind), View(view)
		x, err := New(k, v, level, seed)
		if err != nil {
			if x != nil || !errors.Is(err, ErrKind) && !errors.Is(err, ErrView) && !errors.Is(err, ErrLevel) {
				t.Fatalf("refused with %v and %v", x, err)
			}
			return
		}
		y, err := New(k, v, level, seed)
		if err != nil || !reflect.DeepEqual(x, y) {
			t.Fatal("made twice it differs")
		}
		if err := Sound(x); err != nil {
			t.Fatal(err)
		}
		if err := keepsLevel(x); err != nil {
			t.Fatal(err)
		}
		if k == Finish {
			if err := redrawn(x); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// FuzzNewSeeds spends the fuzzer's time on seeds instead of on names.
func FuzzNewSeeds(f *testing.F) {
	f.Add(uint8(0), uint64(0))
	f.Fuzz(func(t *testing.T, what uint8, seed uint64) {
		k, v := Finish, Views(Finish)[int(what)%3]
		if what >= 240 {
			k, v = Join, None
		}
		checkSeed(t, k, v, MinLevel+int(what/3)%MaxLevel, seed)
	})
}

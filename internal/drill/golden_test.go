package drill

import (
	"encoding/json"
	"flag"
	"math"
	"os"
	"reflect"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

const goldenFile = "../../testdata/golden/exercises.json"

// goldenTolerance is relative, and absolute below 1: machines may differ in
// the last bits of a sine.
const goldenTolerance = 1e-9

// The same version, drill, view, level and seed give the same exercise for
// ever. Whoever has to change this file raises Generator.
func TestGolden(t *testing.T) {
	var made []*Exercise
	for _, k := range Kinds {
		for _, v := range Views(k) {
			for _, level := range []int{1, 3, 4, 6, 7, 8, 9, 10} {
				for _, seed := range []uint64{1, 9007199254740993} {
					x, err := New(k, v, level, seed)
					if err != nil {
						t.Fatal(err)
					}
					made = append(made, x)
				}
			}
		}
	}
	if *update {
		b, err := json.MarshalIndent(made, "", " ")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(goldenFile, append(b, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	b, err := os.ReadFile(goldenFile)
	if err != nil {
		t.Fatal(err)
	}
	var want []*Exercise
	if err := json.Unmarshal(b, &want); err != nil {
		t.Fatal(err)
	}
	if len(want) != len(made) {
		t.Fatalf("%d pinned, %d made", len(want), len(made))
	}
	for i := range want {
		if want[i].Generator != Generator {
			t.Fatalf("pinned for generator %d, this is %d", want[i].Generator, Generator)
		}
		if path := differ(reflect.ValueOf(*want[i]), reflect.ValueOf(*made[i]), ""); path != "" {
			x := made[i]
			t.Errorf("%s %s level %d seed %d differs in %s", x.Kind, x.View, x.Level, x.Seed, path)
		}
	}
}

// differ returns the path of the first difference, "" for none.
func differ(a, b reflect.Value, path string) string {
	switch a.Kind() {
	case reflect.Float64:
		x, y := a.Float(), b.Float()
		if math.Abs(x-y) > goldenTolerance*max(1, math.Abs(x)) {
			return path
		}
		return ""
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() {
			if a.IsNil() != b.IsNil() {
				return path
			}
			return ""
		}
		return differ(a.Elem(), b.Elem(), path)
	case reflect.Struct:
		for i := range a.NumField() {
			if p := differ(a.Field(i), b.Field(i), path+"."+a.Type().Field(i).Name); p != "" {
				return p
			}
		}
		return ""
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return path
		}
		for i := range a.Len() {
			if p := differ(a.Index(i), b.Index(i), path); p != "" {
				return p
			}
		}
		return ""
	}
	if !a.Equal(b) {
		return path
	}
	return ""
}

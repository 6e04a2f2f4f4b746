package browser_test

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
)

// noScript switches scripting off for the pages of the tab; what the tests
// themselves ask of the page still runs.
func (b *tab) noScript() {
	b.Helper()
	call(b, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
}

func TestWithoutScripting(t *testing.T) {
	t.Parallel()
	for _, w := range []window{desktop, phone} {
		t.Run(w.name, func(t *testing.T) {
			t.Parallel()
			b := learner(t, w)
			b.noScript()
			b.open("/")
			b.shot("noscript-" + w.name)
			if s := b.text("main"); !strings.Contains(s, "needs scripting") {
				t.Errorf("the page does not say what it needs: %q", s)
			}
			type box struct{ Width, Height float64 }
			for _, css := range []string{"#paper svg", ".noscript a"} {
				if r := eval[box](b, "((r) => ({Width: r.width, Height: r.height}))(document.querySelector('"+css+"').getBoundingClientRect())"); r.Width < 50 || r.Height < 10 {
					t.Errorf("%s is %v large", css, r)
				}
			}
			if eval[bool](b, "document.querySelector('#handin').checkVisibility()") {
				t.Error("there is a button to hand in, which does nothing")
			}
			if kind := eval[string](b, "fetch(document.querySelector('.noscript a').href).then((r) => r.headers.get('Content-Type'))"); kind != "application/pdf" {
				t.Errorf("the print is %s", kind)
			}

			b.open("/practice")
			b.click(".card form button")
			b.wait("location.pathname.startsWith('/sheets/') && document.querySelector('#paper svg')")

			b.open("/progress")
			if n := eval[int](b, "document.querySelectorAll('.recent a').length"); n != 4 {
				t.Errorf("progress shows %d sheets of 4", n)
			}
			b.click(".recent a")
			b.wait("location.pathname.startsWith('/attempts/') && document.querySelector('.sets')")
			b.click("#next")
			b.wait("location.pathname.startsWith('/sheets/') && document.querySelector('#paper svg')")
		})
	}
}

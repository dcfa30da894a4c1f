//go:build browser

package main

import (
	"strings"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
)

// listen counts what the page asks of the network, and keeps what goes wrong.
func (b *tab) listen(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		if u := e.Request.URL; !strings.HasPrefix(u, "data:") && !strings.HasPrefix(u, "blob:") {
			b.requests = append(b.requests, u)
		}
	case *runtime.EventExceptionThrown:
		text := e.ExceptionDetails.Error()
		b.errors = append(b.errors, text)
	case *runtime.EventConsoleAPICalled:
		for _, a := range e.Args {
			b.errors = append(b.errors, string(e.Type)+": "+string(a.Value))
		}
	}
}

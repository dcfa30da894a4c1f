//go:build js && wasm

// Command core is the program inside the page: it runs in a worker of the
// browser, takes what is done on the page and answers with what changes there.
package main

import (
	"runtime/debug"
	"syscall/js"
	"time"

	"reconcile/internal/page"
	"reconcile/internal/record"
)

// turn is how long a search may go on before it looks whether something was
// typed.
const turn = 6 * time.Millisecond

// core is what the page does and the state of its searches.
type core struct {
	do      func(events []byte, files [][]record.File) (page.Reply, error)
	later   func(stop func() bool) page.Reply // [page.Reply.Rest] of the last answer
	done    int                               // things done: a search that began before the last one is stopped
	wake    chan struct{}                     // there is a rest to be done
	channel js.Value                          // whose messages come behind those that wait
	turned  chan struct{}
}

func main() {
	debug.SetGCPercent(200) // the memory of a worker never shrinks: between speed and size
	c := &core{do: page.New(time.Now), wake: make(chan struct{}, 1), turned: make(chan struct{}, 1)}
	c.channel = js.Global().Get("MessageChannel").New()
	c.channel.Get("port1").Set("onmessage", js.FuncOf(func(js.Value, []js.Value) any {
		c.turned <- struct{}{}
		return nil
	}))
	js.Global().Set("act", js.FuncOf(func(_ js.Value, args []js.Value) any {
		c.act(args[0].String(), args[1])
		return nil
	}))
	js.Global().Call("postMessage", map[string]any{"started": true})
	c.rest()
}

// act does what was done on the page.
func (c *core) act(events string, files js.Value) {
	c.done++
	all := make([][]record.File, files.Length())
	for i := range all {
		if f := files.Index(i); f.Truthy() {
			all[i] = filesOf(f)
		}
	}
	r, err := c.do([]byte(events), all)
	if err != nil {
		js.Global().Get("console").Call("error", err.Error())
		return
	}
	c.send(r, false)
}

// rest does what takes longer, whenever there is some, and stops it when
// something is done on the page.
func (c *core) rest() {
	for range c.wake {
		mine, last := c.done, time.Now()
		stop := func() bool {
			if time.Since(last) > turn {
				c.yield()
				last = time.Now()
			}
			return c.done != mine
		}
		c.yield()
		if c.later == nil {
			continue
		}
		if r := c.later(stop); r.Part != "" { // not stopped
			c.send(r, true)
		}
	}
}

// yield lets the worker take the messages that wait.
func (c *core) yield() {
	c.channel.Get("port2").Call("postMessage", 0)
	<-c.turned
}

// send posts what changes, and has the rest done where there is one. rest says
// that it answers nothing that was done, and that more may wait for an answer.
func (c *core) send(r page.Reply, rest bool) {
	html, save := []any{}, []any{}
	for _, filled := range r.HTML {
		html = append(html, []any{filled[0], filled[1]})
	}
	for _, f := range r.Save {
		save = append(save, fileOf(f))
	}
	m := map[string]any{"html": html, "part": r.Part, "save": save, "focus": r.Focus, "print": r.Print, "forgot": r.Forgot, "more": r.Rest != nil, "rest": rest}
	if r.Download != nil {
		m["download"] = fileOf(*r.Download)
	}
	js.Global().Call("postMessage", m)
	if c.later = r.Rest; c.later != nil {
		select {
		case c.wake <- struct{}{}:
		default:
		}
	}
}

func fileOf(f record.File) map[string]any {
	if f.Bytes == nil {
		return map[string]any{"name": f.Name, "bytes": nil}
	}
	b := js.Global().Get("Uint8Array").New(len(f.Bytes))
	js.CopyBytesToJS(b, f.Bytes)
	return map[string]any{"name": f.Name, "bytes": b}
}

func filesOf(list js.Value) []record.File {
	var all []record.File
	for i := range list.Length() {
		f := list.Index(i)
		b := make([]byte, f.Get("bytes").Length())
		js.CopyBytesToGo(b, f.Get("bytes"))
		all = append(all, record.File{Name: f.Get("name").String(), Bytes: b})
	}
	return all
}

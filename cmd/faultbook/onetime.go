package main

import "sync"

// oneAtATime does work beside the rest, one piece at a time. Of those that come
// while one is done only the last is done after it: each does all that is to do.
type oneAtATime struct {
	mutex   sync.Mutex
	running bool
	next    func()
}

func (o *oneAtATime) do(work func()) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if o.next = work; o.running {
		return
	}
	o.running = true
	go o.run()
}

func (o *oneAtATime) run() {
	for {
		o.mutex.Lock()
		work := o.next
		o.next = nil
		o.running = work != nil
		o.mutex.Unlock()
		if work == nil {
			return
		}
		work()
	}
}

package circuit

import "context"

// Stopped is the panic of a network that is asked for something after its context
// has ended. What is asked of a network gives values and not errors, and there is
// no value to give: whoever bounds the work recovers it at its own boundary. See
// [Network.Until].
type Stopped struct{ Err error }

// Until lets a network be asked for as long as the context lasts. It is to be
// called before anything is asked.
func (n *Network) Until(ctx context.Context) *Network {
	n.ctx = ctx
	return n
}

// proceed ends whatever is being worked out once the context of the network has
// ended. It costs some nanoseconds: each round of what may be long calls it.
func (n *Network) proceed() {
	if n.ctx == nil {
		return
	}
	if n.ctx.Err() != nil {
		panic(Stopped{context.Cause(n.ctx)})
	}
}

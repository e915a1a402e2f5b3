"""Where something happens: stretches, events, windows round them, contacts in them."""

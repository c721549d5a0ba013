"""The facts a command needs from outside its streams: what one is, and how each is loaded."""

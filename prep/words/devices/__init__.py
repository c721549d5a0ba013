"""The devices of a yard in words."""

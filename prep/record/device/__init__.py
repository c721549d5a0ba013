"""The devices of a yard: enrolled, renamed, revoked."""

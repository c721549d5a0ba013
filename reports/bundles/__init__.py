"""Bundles of documents, data and proofs that travel and are checked without the service."""

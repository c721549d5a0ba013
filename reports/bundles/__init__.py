"""Bundles of documents, data and proofs, which can be checked without the service."""

"""Endpoints of accounts of people."""

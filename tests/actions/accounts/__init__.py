"""Tests of the accounts: secrets, attempts, sessions."""

"""Tables beside the accounts: where people are signed in, and what was tried."""

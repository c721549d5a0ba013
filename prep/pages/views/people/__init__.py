"""Pages of people: who works here, one account, invitations, joining, your settings."""

"""Commands on a person: accounts, invitations, settings, secrets, cards."""

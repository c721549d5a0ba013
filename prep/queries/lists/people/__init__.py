"""Lists of people: accounts, roles and cards, guests, and who looked at personal data."""

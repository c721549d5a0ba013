"""Reading of tables that people keep in spreadsheets: bytes to rows, and nothing guessed."""

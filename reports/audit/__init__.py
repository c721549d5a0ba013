"""The audit bundle: units of any yard and period, as of any moment, with items to review."""

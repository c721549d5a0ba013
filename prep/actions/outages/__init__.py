"""What the service needs and may lose: its database, its disk, its signing key, its workers."""

"""What is away that the service needs, and what to do about it."""

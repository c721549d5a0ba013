"""Password hasher for PINs."""

from django.contrib.auth.hashers import Argon2PasswordHasher


class PinHasher(Argon2PasswordHasher):
    """Argon2 at a low cost, because technicians enter their PIN at each sign-off.

    A PIN has too few values for any hash to protect it; counting attempts does (see
    `prep.actions.accounts.attempts`). Passwords keep the full cost.
    """

    algorithm = "argon2pin"
    time_cost = 1
    memory_cost = 8 * 1024
    parallelism = 1

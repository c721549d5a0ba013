"""Pages of yards and of the tokens that programs use there."""

"""What comes in as text: how values are spelled, and what a JSON body may be."""

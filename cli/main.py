"""The command `benchleaf`."""


def main() -> None:
    """Run the command line."""

"""What the program states about itself wherever somebody might rely on it."""

__all__ = ["CAUTIONS"]

CAUTIONS = (
    "Ampacre is a design aid for people who know the trade.",
    "Local amendments and the authority having jurisdiction decide what is allowed.",
    "The law may ask for the review or the work of a licensed person.",
    "Nothing shown here makes energised work safe: open, lock and test for absence of voltage.",
    "What belongs to the utility is the utility's to work on.",
)

"""What a change would bring about, told before it is made."""

from ampacre.model.project import Refused, StaleEdit
from ampacre_gui.document import Document
from ampacre_gui.intents import Intent

__all__ = ["Consequences"]


class Consequences:
    """Words for what an intent does, with the findings that it would raise or clear.

    The forked study is worked out once for each thing the pointer stands on, not at each move.
    """

    def __init__(self, document: Document) -> None:
        self._document = document
        self._known: dict[tuple[str, int], str] = {}

    def words(self, intent: Intent) -> str:
        if intent.edit is None:
            return intent.words
        at = (intent.words, id(self._document.project))
        if at not in self._known:
            self._known = {at: f"{intent.words}{self._change(intent)}"}
        return self._known[at]

    def _change(self, intent: Intent) -> str:
        assert intent.edit is not None
        try:
            _, review = self._document.preview(intent.edit)
        except (Refused, StaleEdit) as error:
            return f"\nCannot be done: {error}"
        before = {finding.key for finding in self._document.review.findings}
        after = {finding.key: finding for finding in review.findings}
        new = [finding for key, finding in after.items() if key not in before]
        cleared = len(before - after.keys())
        grave = [finding for finding in new if finding.severity not in ("advice", "ask")]
        lines = [f"\n{review.message(finding)}" for finding in grave[:2]]
        if len(grave) > len(lines):
            lines.append(f"\nand {len(grave) - len(lines)} more")
        if cleared:
            lines.append(f"\nClears {cleared} finding{'s' if cleared > 1 else ''}")
        return "".join(lines)

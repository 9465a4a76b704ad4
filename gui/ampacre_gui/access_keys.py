"""Access keys for menus whose entries are made while the program runs."""

from PySide6.QtWidgets import QMenu

__all__ = ["give_access_keys"]


def give_access_keys(menu: QMenu) -> None:
    """Give each entry that has no access key one that no other entry of the menu has.

    The first letters of words go before the others. What finds no free letter stays without.
    """
    entries = [action for action in menu.actions() if not action.isSeparator()]
    taken = {key for action in entries if (key := _key_of(action.text()))}
    for action in entries:
        text = action.text()
        if _key_of(text):
            continue
        at = next((at for at in _places(text) if text[at].casefold() not in taken), None)
        if at is not None:
            taken.add(text[at].casefold())
            action.setText(f"{text[:at]}&{text[at:]}")


def _key_of(text: str) -> str:
    """Give the letter after a single "&", "" where there is none."""
    plain = text.replace("&&", "\0\0")
    at = plain.find("&")
    return plain[at + 1 : at + 2].casefold() if at >= 0 else ""


def _places(text: str) -> list[int]:
    """Give where letters stand, the first ones of words before the others."""
    letters = [at for at, letter in enumerate(text) if letter.isalnum()]
    return sorted(letters, key=lambda at: at > 0 and text[at - 1].isalnum())

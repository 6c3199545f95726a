"""Words brought to one form, and phrases that match them: case, plural, hyphen and spelling do not matter."""

import re
import unicodedata
from functools import cache, lru_cache

from knowngood.engine.tables import table

TABLE = "safety_words"
ENDS = ".,:;!?()"
WORD = re.compile(r"\d+(?:[.,]\d+)+|[^\W_]+|[.,:;!?()]")


@lru_cache(maxsize=8192)
def said(text: str) -> str:
    """Return a text in one form: words in the singular with a space around each, and the marks that part clauses.

    Example:
        >>> said("Front brake-hoses (swollen), A/C; callipers"), said("the driver's air bag")
        (' front brake hose ( swollen ) , ac ; caliper ', ' the driver airbag ')
    """
    plain = unicodedata.normalize("NFKC", text).casefold().replace("’", "'")
    plain = re.sub(r"\b([a-z])[/.]([a-z])\b", r"\1\2", plain)  # "A/C"
    plain = re.sub(r"\s[-–—]+\s|[–—]", " , ", plain).replace("n't", " not").replace("'s", "")
    words = [part for word in WORD.findall(plain) for part in _parted(_singular(word))]
    spelling = table(TABLE)["spelling"]
    return _joined(" " + " ".join(spelling.get(word, word) for word in words) + " ")


def _singular(word: str) -> str:
    if (
        len(word) <= 3
        or not word.endswith("s")
        or word in table(TABLE)["forms"]["no_plural"]
        or word.endswith(("ss", "us", "is"))
    ):
        return word
    if word.endswith(("shes", "ches", "xes", "sses", "zes")):
        return word[:-2]
    return word[:-3] + "y" if word.endswith("ies") and len(word) > 4 else word[:-1]


def _parted(word: str) -> list[str]:
    """A compound in its two words: "brakehose"."""
    compounds = table(TABLE)["compounds"]
    for begin in compounds["begins"]:
        rest = word.removeprefix(begin)
        if rest != word and table(TABLE)["spelling"].get(rest, rest) in compounds["rests"]:
            return [begin, rest]
    return [word]


def _joined(text: str) -> str:
    for apart, together in table(TABLE)["joined"].items():
        text = text.replace(f" {apart} ", f" {together} ")
    return text


@cache
def compiled(phrase: str) -> re.Pattern[str]:
    """Return what finds a phrase of the table in a text that `said` has brought to one form.

    Example:
        >>> bool(compiled("brake ... hose|pipe").search(said("the brake flex hoses")))
        True
        >>> bool(compiled("brake ... hose|pipe").search(said("the brake and the hose")))
        False
    """
    return re.compile("(?<= )" + "".join(_token(token) for token in phrase.split()))


def _token(token: str) -> str:
    if token == "...":
        forms = table(TABLE)["forms"]
        over = "|".join((*forms["between"], *forms["speaking"]))
        return rf"(?:(?!(?:{over}) )[^\W_]+ ){{0,2}}"
    either = {_form(word) for part in token.removesuffix("?").split("|") for word in _listed(part)}
    return f"(?:(?:{'|'.join(sorted(either))}) ){'?' if token.endswith('?') else ''}"


def _listed(part: str) -> list[str]:
    words: list[str] = table(TABLE)["lists"][part[1:-1]].split("|") if part.startswith("<") else [part]
    return words


def _form(word: str) -> str:
    return re.escape(said(word).strip())

"""A line of a job file that is no TOML, mended: what is shown beside it, and never read instead.

A rule for each way in which people write a line; what it makes is shown only if TOML reads it.
"""

import difflib
import re
import tomllib
from collections.abc import Callable, Iterator
from typing import NamedTuple

from stairs.errors import JobError
from stairs.job.tables import all_places
from stairs.lengths.tape import has_unit, parse, without_commas

_CURLY = str.maketrans(dict.fromkeys("“”„‟«»", '"') | dict.fromkeys("‘’‚‹›", "'"))
_YES, _NO = ("yes", "true", "on"), ("no", "false", "off")
_OPEN = {"[": "]", "{": "}"}
_REMARK = re.compile(r"""((?:[^#"']|"[^"]*"|'[^']*'|["'])*?)\s*(?:#.*)?""")
_FEET = re.compile(r"([0-9]+) ?['’′] ?([0-9]+/[0-9]+)")
_PAIR = re.compile(r"[\"“]?([A-Za-z_][A-Za-z_ -]*?)[\"”]? *(:=|==|=|:) *(\S.*)")
_APART = re.compile(r"([A-Za-z_]+)( +)(\S.*)")
_ODD = re.compile(r"([^=]*?) *= *(\S.*)")
_LONGEST = 500  # characters of a line that a person wrote
_DASHES = str.maketrans(dict.fromkeys("−‐‑–—", "-"))
_LIST = "Write a list in square brackets, with commas between"


class Mended(NamedTuple):
    """What to do about a text, and the text with that done."""

    say: str
    text: str


def mended_line(line: str) -> str:
    """What to write instead of a line that TOML does not read, in words; empty where unknown.

    Examples
    --------
    >>> print(mended_line("rise = 36 1/4"))
    Put the measurement between two quotes: rise = "36 1/4"
    >>> print(mended_line("[[section]"))
    Close the brackets: [[section]]
    """
    if len(line) > _LONGEST or "'''" in line or '"""' in line:
        return ""
    bare = (_REMARK.fullmatch(line.strip()) or [line, line.strip()])[1]
    if not bare or is_line(bare if "=" in bare else bare.rstrip(", ")):
        return ""
    if re.fullmatch(r"[A-Za-z_]+ *=", bare):
        return "Write its value behind =, or take the line out"
    for found in _lines(bare):
        if is_line(found.text):
            inches = _FEET.sub(r"\1 \2", found.text)
            also = "" if inches == found.text else f"; if inches were meant: {inches}"
            return f"{found.say}: {found.text}{also}"
    return ""


def is_line(text: str) -> bool:
    """Whether TOML reads it, as a line or as one of the lines of a list."""
    if text.startswith(("[", "#")) and _reads(text):
        return True
    if "=" in text:
        return _reads(text) or text.endswith("[") and _reads(f"{text}]")
    return _reads(f"x = [{text}]")


def _reads(text: str) -> bool:
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError):
        return False
    return True


def _lines(line: str) -> Iterator[Mended]:
    """The line as it may have been meant, the likelier first."""
    if re.match(r"//|--|;|%", line):
        yield Mended("A remark begins with #", "# " + line.lstrip("/-;% "))
    if header := re.fullmatch(r"[\[(]{1,2} *([A-Za-z_]+) *[\])]{0,2} *:?", line):
        many = header[1] == "section"
        yield Mended("Close the brackets", f"[[{header[1]}]]" if many else f"[{header[1]}]")
    if pair := _PAIR.fullmatch(line) or _APART.fullmatch(line):
        key, sign, typed = pair.groups()
        one_word = re.sub("[ -]+", "_", key)
        value = mended_value(typed)
        if sign == "=" and key == one_word:
            yield from (Mended(one.say, f"{key} = {one.text}") for one in value)
        else:
            say = "Write = between a key and its value"
            if sign == "=":
                say = "Join the words of a key by _"
            yield Mended(say, f"{one_word} = {typed}")
            yield from (Mended(say, f"{one_word} = {one.text}") for one in value)
    elif odd := _ODD.fullmatch(line):
        names = {place.key.name for place in all_places()}
        for name in difflib.get_close_matches(odd[1].lower(), names, n=1):
            yield Mended(f"The nearest key is {name}", f"{name} = {odd[2]}")
    else:  # one line of a list
        yield from mended_value(line.rstrip(", "))


def mended_value(typed: str) -> list[Mended]:
    """A value as it may have been meant, by each rule that has a say on it, the likelier first."""
    return [found for rule in _RULES if (found := rule(typed)) is not None and found.text]


def _yes_or_no(typed: str) -> Mended | None:
    word = typed.translate(_CURLY).strip("\"' .;").lower()
    if word not in _YES + _NO:
        return None
    return Mended("Write it in small letters, without quotes", "true" if word in _YES else "false")


def _plain_minus(typed: str) -> Mended | None:
    plain = typed.translate(_DASHES)
    return None if plain == typed else Mended("Write the minus of the keyboard", plain)


def _without_commas(typed: str) -> Mended | None:
    number = without_commas(typed.translate(_CURLY).strip("\"' "))
    return Mended("Write it without a comma", _quoted(number)) if number else None


def _quoted(number: str) -> str:
    return f'"{number}"' if has_unit(number) or not _reads(f"x = {number}") else number


def _measurement(typed: str) -> Mended | None:
    words = typed.translate(_CURLY).rstrip(";,").strip("\"' ")
    feet = re.search(r"[0-9] ?['’′]", typed)
    words += "'" if feet and feet.end() == len(typed.rstrip('";” ')) else ""
    try:
        parse(words, "in")
    except JobError:
        return None
    if any(mark in typed for mark in "“”„‟«»"):
        return Mended("These are curly quotes. Use straight ones", f'"{words}"')
    inch = " and leave off the inch mark" if '"' in typed or "″" in typed else ""
    return Mended(f"Put the measurement between two quotes{inch}", f'"{words}"')


def _curly(typed: str) -> Mended | None:
    plain = typed.translate(_CURLY)
    return None if plain == typed else Mended("These are curly quotes. Use straight ones", plain)


def _sign_at_the_end(typed: str) -> Mended | None:
    plain = typed.rstrip("; ,.°")
    return None if plain == typed else Mended("Leave off the sign at its end", plain)


def _last_sign(typed: str) -> Mended | None:
    twice = typed[-1:] in tuple("]}\"'")
    return Mended("Leave off the sign at its end", typed[:-1].rstrip()) if twice else None


def _inside(typed: str) -> Mended | None:
    """A list or a table in braces, what is in it mended, closed where it is not."""
    sign = typed[:1]
    if sign not in ("[", "{") or not typed[1:]:
        return None
    inner, closed = typed[1:].strip(), typed.endswith(_OPEN[sign])
    inner = inner[:-1].strip() if closed else inner
    if sign == "[" and re.fullmatch(r"[0-9.]+( +[0-9.]+)+", inner):
        return Mended("Put commas between", f"[{', '.join(inner.split())}]")
    for parts in (_parts(inner), [part.strip() for part in inner.split(",")]):
        found = [_part(part, sign) for part in parts]
        whole = [one.text for one in found if one is not None]
        if len(whole) == len(parts):
            says = [one.say for one in found if one is not None and one.say]
            says = says if closed else [f"Close it with {_OPEN[sign]}"]
            text = ", ".join(whole)
            text = f"[{text}]" if sign == "[" else f"{{ {text} }}"
            return Mended(says[0] if says else "Write it so", text)
    return None


def _part(part: str, sign: str) -> Mended | None:
    """One part of a list or of a table in braces, mended where it needs to be."""
    around = "x = [{}]" if sign == "[" else "x = {{ {} }}"
    if _reads(around.format(part)):
        return Mended("", part)
    found = mended_value(part) if sign == "[" else _lines(part)
    return next((one for one in found if _reads(around.format(one.text))), None)


def _parts(inner: str) -> list[str]:
    """What stands between commas; those in quotes, brackets or braces part nothing."""
    pattern = r"""(?:[^,\[{"]|"[^"]*"|\[[^\]]*\]|\{[^}]*\}|["\[{])+"""
    return [part.strip() for part in re.findall(pattern, inner) if part.strip()]


def _list_without_brackets(typed: str) -> Mended | None:
    parts = _parts(typed)
    if len(parts) < 2 or typed[:1] in _OPEN or not re.match(r"[\"“'-]?[0-9]", typed):
        return None
    found = _inside(f"[{typed}]")
    return found and Mended(_LIST, found.text)


def _text(typed: str) -> Mended | None:
    plain = typed.translate(_CURLY)
    words = plain[1:] if plain[:1] in "\"'" else plain
    words = words[:-1] if words[-1:] in ('"', "'") else words
    if not words or words[:1] in ("[", "{", "(") or not re.search(r"[^\W\d_]", words):
        return None
    if '"' in words or "\\" in words:
        say = "Put a text with \" or \\ in it between two '"
        return None if "'" in words else Mended(say, f"'{words}'")
    return Mended("Put the text between two quotes", f'"{words}"')


_RULES: tuple[Callable[[str], Mended | None], ...] = (
    _yes_or_no,
    _plain_minus,
    _without_commas,
    _sign_at_the_end,
    _measurement,
    _inside,
    _list_without_brackets,
    _last_sign,
    _curly,
    _text,
)

"""Reads what is printed of a chain, and works it again with nothing but the printed numbers."""

import math
import re

_NUMBER = re.compile(r'-?(\d+ \d+/\d+|\d+/\d+(?=["° ]|$)|\d+\.\d+|\d+)("| mm|°)?')
_FUNCTIONS = {
    "√": math.sqrt,
    "sin": lambda one: math.sin(math.radians(one)),
    "cos": lambda one: math.cos(math.radians(one)),
    "tan": lambda one: math.tan(math.radians(one)),
    "arctan": lambda one: math.degrees(math.atan(one)),
    "arccos": lambda one: math.degrees(math.acos(one)),
    "arcsin": lambda one: math.degrees(math.asin(one)),
}


def number(text):
    """A printed number without its unit, and half of its last place; 0 where it is exact."""
    told = re.sub(r'"| sq in| sq mm| mm|°', "", text).strip()
    sign, told = (-1, told[1:]) if told[0] in "-−" else (1, told)
    whole, _, part = told.rpartition(" ")
    above, _, below = part.partition("/")
    value = float(whole or 0) + float(above) / float(below or 1)
    places = len(told.partition(".")[2])
    return sign * value, 0.5 * 10.0**-places if places else 0.0


class Formula:
    """A formula as it is printed, with letters or with numbers; brackets bind as on paper."""

    def __init__(self, text, letters=None):
        self.rest, self.letters = text.strip(), letters or {}

    def value(self):
        found = self._sum()
        assert not self.rest, f"left over: {self.rest!r}"
        return found

    def _take(self, sign):
        if self.rest.startswith(sign):
            self.rest = self.rest[len(sign) :].lstrip()
            return True
        return False

    def _sum(self):
        total = -self._product() if self._take("−") else self._product()
        while True:
            if self._take("+ "):
                total += self._product()
            elif self._take("− "):
                total -= self._product()
            else:
                return total

    def _product(self):
        value = self._power()
        while True:
            if self._take("⋅"):
                value *= self._power()
            elif self._take("/"):
                value /= self._power()
            else:
                return value

    def _power(self):
        value = self._atom()
        while True:
            if self._take("²"):
                value *= value
            elif self._take("^"):
                value **= int(self._digit())
            else:
                return value

    def _digit(self):
        found, self.rest = self.rest[0], self.rest[1:].lstrip()
        return found

    def _atom(self):
        if self._take("("):
            value = self._sum()
            assert self._take(")")
            return value
        longest = sorted(self.letters, key=len, reverse=True)
        # "cos θ" is a letter of its own; otherwise "tan" is no letter t
        for letter in longest:
            if " " in letter and self._take(letter):
                return self.letters[letter]
        for name in sorted(_FUNCTIONS, key=len, reverse=True):
            if self._take(name):
                return _FUNCTIONS[name](self._atom())
        for letter in longest:
            if self._take(letter):
                return self.letters[letter]
        found = _NUMBER.match(self.rest)
        assert found, f"no number: {self.rest!r}"
        # a fraction that stands alone is one number; where it is divided it is in brackets
        self.rest = self.rest[found.end() :].lstrip()
        return number(found[0])[0]


def statements(text):
    """Every line of a chain as it is printed: letter, formulas and result, without its reason."""
    found = []
    for row in text.splitlines():
        indent = len(row) - len(row.lstrip())
        if indent == 2 and " = " in row:
            found.append(row.strip())
        elif found and indent >= 4 and (row.lstrip().startswith("= ") or indent >= 7):
            found[-1] += " " + row.strip()
    return [one.split(" = ") for one in found]


def parts(text):
    """The blocks of an explanation: what is given, and all that is worked out."""
    blocks = {block.splitlines()[0]: block for block in text.split("\n\n")}
    given = blocks["What it comes from"]
    rows = re.findall(r"^  (\S+(?: θ)?)\s+(-?[\d./ ]*\d(?:\"| mm|°)?)  ", given, re.MULTILINE)
    long, short = (statements(blocks.get(head, "")) for head in ("Worked out", "The same in short"))
    return dict(rows), long, short


def work_again(text):
    """Every line of an explanation worked again; the number of lines, and the last result."""
    given, long, short = parts(text)
    letters = {symbol: number(told)[0] for symbol, told in given.items()}
    result = None
    for symbol, formula, *put_in, told in (*long, *short):
        value, half = number(told)
        slack = half + 1e-9 * max(1.0, abs(value))
        # the letters stand for the numbers that were printed for them, and both come out
        for again in (Formula(formula, letters).value(), *(Formula(one).value() for one in put_in)):
            assert abs(again - value) <= slack, f"{symbol} = {formula} = {put_in} = {told}: {again}"
        letters[symbol] = result = value
    return len(long) + len(short), result

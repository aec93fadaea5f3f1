"""`Decoder`: bytes of a text source in any chunking become readings; no port, no clock.

What a line may be, told line by line; `guide/lines.md` says the same to the user:

- a bare number, with or without its unit: `300.5`, `300.5 C`, `572 °F` (`marks.py`);
- names and values: `T1=300.5;T2=290`, `Temp: 300.5 C` (`pairs.py`);
- a JSON object or array (`members.py`);
- fields set apart by `;` `,` tabs, or blanks where that is in no doubt (`fields.py`),
  channels t1, t2, …;
- two or more names set apart by `;` `,` or tabs, units with them (`names.py`): they name
  the channels of the lines that follow, are counted, and are no record.

Anything else is one unparsable record with its cleaned text and why; blank lines are nothing.
Complete terminal escape sequences are taken for blanks. Nothing is ever guessed from a
number: its unit is the line's own word, or the URL's.

A line that names only what is no temperature is refused until the source has sent one, and
then is no record: boards say humidity or their own state in lines between.

A line with fewer values than before, or another number of values than the header has names,
is refused (a cut line would put one channel's value in another's place); when it comes
three times in a row, the source has changed and is believed.

Random bytes hold a lone digit between two line ends now and then (24 times a minute at
1 Mbaud, measured): after bytes that are no text, the first line whose values are short or
have no decimal point is refused.
"""

from __future__ import annotations

import re

from pacer.sensor.text import fields, members, pairs
from pacer.sensor.text.judge import Aside, Judge, Taken, reading, significant
from pacer.sensor.text.marks import spell_out
from pacer.sensor.text.names import Column, columns
from pacer.sensor.text.split import MAX_LINE, Splitter
from pacer.sensor.text.times import RunningCount, SecondsCount, without_leading
from pacer.sensor.text.told import Told
from pacer.sensor.text.units_seen import BELIEVED_AFTER
from pacer.sensor.text.values import Refused, Span
from pacer.session.events import NO_TEXT, Reading
from pacer.text import clean_bytes

_MAX_TEXT = 200
_SHORT_HEADER = 8

_BLANK = b" \t\v\f"
_ESCAPE = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[@-Z\\^_])")
_NO_TEXT = re.compile(rb"[^\t\v\f -~]")
_OTHER_BLANKS = str.maketrans("\v\f", "  ")
_NUMBER_STARTS = frozenset("0123456789+-. ")


def unparsable(raw: bytes, why: str) -> Reading:
    """Return the record of a line that could not be read."""
    text = clean_bytes(raw, _MAX_TEXT)
    return Reading(t_ms=0, raw=(text,), status="unparsable", why=why)


class Decoder:
    """One source's lines: the splitter's buffer, what the source has shown, and counters."""

    def __init__(self, span: Span | None = None, told: Told | None = None) -> None:
        self._told = told or Told()
        self._judge = Judge(span or Span(), self._told)
        self._splitter = Splitter()
        self._columns: tuple[Column, ...] | None = None
        self._count = 0
        self._odd = (0, 0)
        self._names: tuple[str, ...] = ()
        self._cut = 0
        self._noisy = False
        self._heard = False
        self._counting = RunningCount()
        self._seconds = SecondsCount()
        self.headers = 0
        self.too_long = 0

    @property
    def comma(self) -> bool:
        """True where the decimal sign is a comma."""
        return self._told.comma

    @property
    def held(self) -> int:
        """Bytes of an unfinished line now held, at most `MAX_LINE`."""
        return self._splitter.held

    def restart(self) -> None:
        """After a port was opened: the first line may be a part of one, throw it away."""
        self._splitter.skip_to_end()

    def feed(self, chunk: bytes) -> list[Reading]:
        """Return one reading for each line that `chunk` finished, all with `t_ms=0`."""
        readings: list[Reading] = []
        for line in self._splitter.feed(chunk):
            reading = self.overlong(line.raw) if line.too_long else self.decode(line.raw)
            if reading is not None:
                readings.append(reading)
        return readings

    def overlong(self, raw: bytes) -> Reading:
        """Return the one record of a line that was too long, and count it."""
        self.too_long += 1
        return unparsable(raw, f"longer than {MAX_LINE} bytes")

    def decode(self, raw: bytes) -> Reading | None:
        """Return the reading of a line of at most `MAX_LINE` bytes, without its end.

        None: it is blank, a header, or about something else than temperatures.
        """
        if not raw.strip(_BLANK):
            return None
        shown = _ESCAPE.sub(b" ", raw).strip(_BLANK)
        if not shown.isascii():
            shown = spell_out(shown)
        if _NO_TEXT.search(shown):
            self._noisy = True
            return unparsable(raw, NO_TEXT)
        try:
            return self._text(shown.decode("ascii").translate(_OTHER_BLANKS))
        except Aside as exc:
            return None if self._heard else unparsable(raw, str(exc))
        except Refused as exc:
            return unparsable(raw, str(exc))

    def header(self, text: str, skip: int = 0) -> bool:
        """Take a line of names for the header, without its first `skip`; False: it is none."""
        cut = fields.cut(text.lstrip("# \t"), comma=self._told.comma)
        found = columns(cut.texts, self._told.asked, quoted=cut.quoted)
        if found is None or len(found) <= skip:
            return False
        if self._noisy and len(text) < _SHORT_HEADER:
            self._noisy = False
            raise Refused("a short header right after noise")
        self.headers += 1
        self._columns = found[skip:]
        self._count = len(self._columns)
        self._odd = (0, 0)
        return True

    def _text(self, text: str) -> Reading | None:
        if not text:
            raise Refused('found "", expected a number such as 300.5')
        text = without_leading(text)
        if text[0] in "{[":
            cells = members.cells(text)
            if cells and not cells[0].name:
                return self._bare(fields.Fields([cell.text for cell in cells]), text, point=True)
            return self._calm(self._judge.named(cells), named=True)
        if "=" in text or (":" in text and pairs.looks_so(text)):
            cells = pairs.cells(text, comma=self.comma)
            self._whole(tuple([cell.name for cell in cells]))
            if self.comma:
                cells = [cell._replace(text=fields.pointed(cell.text)) for cell in cells]
            return self._calm(self._judge.named(cells), named=True)
        if text[0] not in _NUMBER_STARTS and self.header(text):
            return None
        return self._bare(fields.cut(text, comma=self.comma), text, point=not self.comma)

    def _whole(self, names: tuple[str, ...]) -> None:
        """Raise Refused where a line of pairs lacks its end: the last number may be cut too."""
        if len(names) < len(self._names) and names == self._names[: len(names)]:
            self._cut += 1
            if self._cut < BELIEVED_AFTER:
                raise Refused(f"found {len(names)} values, expected {len(self._names)} as before")
        self._names, self._cut = names, 0

    def _bare(self, cut: fields.Fields, text: str, *, point: bool) -> Reading:
        names = self._columns
        named = names is not None and len(names) == len(cut.texts)
        texts = cut.texts if point else [fields.pointed(text) for text in cut.texts]
        cells = fields.under(names, texts) if names and named else fields.cells(texts)
        taken = self._judge.numbered(cells)
        if len(cut.texts) != self._count and self._told.dialect != "csv":
            fields.refuse_doubtful(text, cut)
        if not named and len(taken) > 1:
            taken = self._without_count(taken)
        if not taken:
            raise Refused("found no temperature, expected a number such as 300.5")
        # Numbered by place: what is left out keeps its number.
        found = self._calm(taken, named=named or taken[-1].name != f"t{len(taken)}")
        self._believe(len(cut.texts))
        return found

    def _without_count(self, taken: list[Taken]) -> list[Taken]:
        """Leave out a first column that counts; raises Refused while that is in doubt."""
        first, rest = taken[0], taken[1:]
        if self._told.decides or first.name in self._told.asked or first.unit:
            return taken
        beside_a_point = any("." in made.text for made in rest) and not any(map(_counts, rest))
        if not (_counts(first) and beside_a_point):
            return self._unless_seconds(taken)
        found = self._counting.judge(int(first.text))
        if found == "doubtful":
            raise Refused(
                "the first column may be a running count: expected a header, "
                "or channel=t2 in the sensor's URL"
            )
        return rest if found == "count" else taken

    def _unless_seconds(self, taken: list[Taken]) -> list[Taken]:
        if self._told.asked:
            return taken  # who names one column knows the others
        value, beside = taken[0].value.raw, taken[1].value.raw
        if not (isinstance(value, float) and isinstance(beside, float)):
            return taken
        if self._seconds.looks_so(value, beside):
            raise Refused(
                "the first column rises like a time in seconds: expected a header, "
                "or channel=t1 or t2 in the sensor's URL"
            )
        return taken

    def _calm(self, taken: list[Taken], *, named: bool) -> Reading:
        """Return the record, unless noise may have made it."""
        found = reading(taken, named=named)
        noisy, self._noisy = self._noisy, False
        if noisy and not significant(taken):
            raise Refused("a short number right after noise")
        self._heard = True
        return found

    def _believe(self, count: int) -> None:
        """Raise Refused unless this many values fit what was seen before."""
        if count == self._count or (count > self._count and self._columns is None):
            self._count, self._odd = count, (0, 0)
            return
        times = self._odd[1] + 1 if self._odd[0] == count else 1
        if times < BELIEVED_AFTER:
            self._odd = (count, times)
            raise Refused(f"found {count} values, expected {self._count} as before")
        self._columns, self._count, self._odd = None, count, (0, 0)


def _counts(made: Taken) -> bool:
    return made.text.isdigit() and not made.unit and made.value.status != "open"

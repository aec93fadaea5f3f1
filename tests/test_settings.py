"""settings.toml: defaults, every key, and one line for each that is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from pacer.errors import UserInputError
from pacer.settings import KEYS, SensorCorrection, Settings, read_settings


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A configuration folder of the test's own."""
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    return tmp_path


def written(home: Path, text: str) -> Settings:
    """Return what a file says."""
    (home / "settings.toml").write_text(text, encoding="utf-8")
    return read_settings()


def wrong(home: Path, text: str) -> list[str]:
    """Return the lines that a wrong file gives."""
    with pytest.raises(UserInputError) as told:
        written(home, text)
    return str(told.value).splitlines()


def test_no_file_means_defaults(home: Path) -> None:
    """A shop that set nothing."""
    assert read_settings() == Settings(
        recordings=home / "recordings",
        units="metric",
        theme="dark",
        characters="unicode",
        sound="auto",
        speech="auto",
        lamp="",
        pedal="",
        corrections=(),
    )


def test_every_key_is_read(home: Path) -> None:
    """And there is no field without a key, nor a key without a field."""
    found = written(
        home,
        """
        units = "us"
        recordings = "/welding"
        theme = "sunlit"
        characters = "ascii"
        sound = "off"
        speech = "say {words}"
        lamp = "serial://COM5?line=RTS"
        pedal = "serial://COM5?line=DSR"
        [[corrections]]
        sensor = "serial://COM6"
        usb = "0403:6001:A1B2"
        channel = "t1"
        scale = 1
        offset_dc = -0.4
        made = 2026-03-31
        how = "ice 0.4 °C"
        ice_c = 0.4
        boil_c = 99
        boils_at_c = 98.6
        """,
    )
    assert found == Settings(
        recordings=Path("/welding"),
        units="us",
        theme="sunlit",
        characters="ascii",
        sound="off",
        speech="say {words}",
        lamp="serial://COM5?line=RTS",
        pedal="serial://COM5?line=DSR",
        corrections=(
            SensorCorrection(
                sensor="serial://COM6",
                usb="0403:6001:A1B2",
                channel="t1",
                scale=1.0,
                offset_dc=-0.4,
                made="2026-03-31",
                how="ice 0.4 °C",
                ice_c=0.4,
                boil_c=99.0,
                boils_at_c=98.6,
            ),
        ),
    )
    assert set(KEYS) == set(Settings.__dataclass_fields__)


def test_each_wrong_key_has_its_own_line(home: Path) -> None:
    """File, key, what was found, what is expected."""
    name = str(home / "settings.toml")
    assert wrong(
        home,
        """
        theme = "dim"
        characters = 7
        sound = "loud"
        speech = "say it"
        lamp = true
        pedals = "serial://COM5?line=CTS"
        zzz = 1
        """,
    ) == [
        f'{name}: theme = "dim": expected "dark", "sunlit" or "mono"',
        f'{name}: characters = 7: expected "unicode" or "ascii"',
        f'{name}: sound = "loud": expected "auto" or "off"',
        f'{name}: speech = "say it": expected "auto", "off", or a command with {{words}} in it',
        f'{name}: lamp = True: expected a URL in quotes such as "serial:///dev/ttyUSB1?line=RTS"',
        f'{name}: unknown key "pedals"; the nearest known key is "pedal"',
        f'{name}: unknown key "zzz"; known: {", ".join(KEYS)}',
    ]


def test_each_wrong_part_of_a_correction_has_its_own_line(home: Path) -> None:
    """Which table, which key, what is expected."""
    name = str(home / "settings.toml")
    whole = 'sensor = "serial://COM6"\nscale = 1.0\noffset_dc = 0.0\nmade = "2026-03-31"\n'
    assert wrong(
        home,
        f"""
        [[corrections]]
        {whole}
        [[corrections]]
        sensor = 7
        scale = 2.0
        offset_dc = true
        made = "in March"
        chanel = "t1"
        [[corrections]]
        {whole}
        ice_c = nan
        """,
    ) == [
        f"{name}: correction 2: sensor = 7: expected text in quotes",
        f"{name}: correction 2: scale = 2.0: expected a number from 0.8 to 1.2",
        f"{name}: correction 2: offset_dc = True: expected a number from -50 to 50",
        f"{name}: correction 2: made = in March: expected a date such as 2026-03-31",
        f'{name}: correction 2: unknown key "chanel"; the nearest known key is "channel"',
        f"{name}: correction 3: ice_c = nan: expected a number from -273.15 to 2000",
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[[corrections]]\n", "correction 1: sensor is missing"),
        ("corrections = 1.01\n", "corrections = 1.01: expected [[corrections]] tables"),
        ("[corrections]\nscale = 1.0\n", "expected [[corrections]] tables"),
    ],
)
def test_a_correction_that_is_none_is_told(home: Path, text: str, words: str) -> None:
    """No traceback for a slip of the pen."""
    assert any(words in line for line in wrong(home, text))


def test_foreign_text_is_cleaned(home: Path) -> None:
    """An escape sequence in a value or a key reaches no terminal."""
    lines = wrong(home, 'theme = "\\u001b[2J"\n"\\u001b]0;x" = 1\n')
    assert len(lines) == 2
    assert all(line.isprintable() for line in lines)


@pytest.mark.parametrize("text", [b"theme = dark", b"\xff\xfe", b"[theme]\n[theme]"])
def test_a_file_that_is_no_toml_is_one_line(home: Path, text: bytes) -> None:
    """With its name."""
    (home / "settings.toml").write_bytes(text)
    with pytest.raises(UserInputError) as told:
        read_settings()
    (line,) = str(told.value).splitlines()
    assert line.startswith(str(home / "settings.toml"))


def test_the_record_keeps_what_had_an_effect(home: Path) -> None:
    """Looks and sounds with a screen, plugs where they are opened, never the folder."""
    found = written(home, 'theme = "mono"\nlamp = "loop://?line=RTS"\n')
    assert found.had_effect() == {"units": "metric"}
    assert found.had_effect(plugs=True) == {"units": "metric", "lamp": "loop://?line=RTS"}
    assert found.had_effect(screen=True, plugs=True) == {
        "units": "metric",
        "theme": "mono",
        "characters": "unicode",
        "sound": "auto",
        "speech": "auto",
        "lamp": "loop://?line=RTS",
    }

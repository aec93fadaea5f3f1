"""URLs of lamp and pedal: what they mean, and one line for what is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from pacer.errors import UserInputError
from pacer.sensor.plugs.outlet import lamp_url, pedal_url, same_port


def test_a_lamp_is_a_port_and_an_output_line() -> None:
    """Names of both systems; lower case will do."""
    lamp = lamp_url("serial:///dev/ttyUSB1?line=rts")
    assert (lamp.port, lamp.line, lamp.shared) == ("/dev/ttyUSB1", "RTS", False)
    lamp = lamp_url("serial://COM5?line=DTR&shared=yes")
    assert (lamp.port, lamp.line, lamp.shared) == ("COM5", "DTR", True)
    assert lamp_url("loop://?line=RTS").port == "loop://"


def test_a_pedal_is_a_port_an_input_line_and_a_mode() -> None:
    """Press is the default, with 30 ms."""
    pedal = pedal_url("serial://COM5?line=CTS")
    assert (pedal.port, pedal.line, pedal.mode, pedal.debounce_s) == ("COM5", "CTS", "press", 0.03)
    pedal = pedal_url("serial://COM5?line=DSR&mode=hold&debounce=50")
    assert (pedal.line, pedal.mode, pedal.debounce_s) == ("DSR", "hold", 0.05)


LAMP = {
    "red": 'lamp: found "red", expected a URL such as serial:///dev/ttyUSB1?line=RTS',
    "serial://COM5": "lamp serial://COM5: found no line, expected line=RTS or line=DTR",
    "serial://COM5?line=CTS": 'found line="CTS", expected line=RTS or line=DTR',
    "serial://?line=RTS": "found no port, expected a port such as",
    "serial://COM5?line=RTS&shared=maybe": 'found shared="maybe", expected shared=yes or shared=no',
    "serial://COM5?lines=RTS": "found lines=…, expected line=…",
    "socket://10.0.0.1:5?line=RTS": 'found "socket:", expected serial:',
    "C:lamp": "expected a URL such as",
    "serial://\x1b[2J?lin=RTS": "found lin=…, expected line=…",
}
PEDAL = {
    "serial://COM5?line=RTS": 'found line="RTS", expected line=CTS or line=DSR',
    "serial://COM5?line=RI": 'found line="RI", expected line=CTS or line=DSR',
    "serial://COM5?line=CTS&mode=push": 'found mode="push", expected mode=press or mode=hold',
    "serial://COM5?line=CTS&debounce=5s": 'found debounce="5s", expected a number from 1 to 250',
    "serial://COM5?line=CTS&debounce=500": "expected a number from 1 to 250",
}


@pytest.mark.parametrize("url", LAMP)
def test_a_wrong_lamp_is_one_clear_line(url: str) -> None:
    """What, the URL, what was found, what is expected."""
    with pytest.raises(UserInputError) as told:
        lamp_url(url)
    assert LAMP[url] in str(told.value)
    assert str(told.value).startswith("lamp")
    assert str(told.value).isprintable()


@pytest.mark.parametrize("url", PEDAL)
def test_a_wrong_pedal_is_one_clear_line(url: str) -> None:
    """The same for a pedal."""
    with pytest.raises(UserInputError) as told:
        pedal_url(url)
    assert PEDAL[url] in str(told.value)
    assert str(told.value).startswith("pedal ")


def test_a_link_and_what_it_leads_to_are_one_port(tmp_path: Path) -> None:
    """As /dev/serial/by-id/… and /dev/ttyUSB0 are."""
    port, link = tmp_path / "ttyUSB0", tmp_path / "by-id"
    port.touch()
    link.symlink_to(port)
    assert same_port(str(link), str(port))
    assert not same_port(str(port), str(tmp_path / "ttyUSB1"))
    assert same_port("loop://", "loop://")


def test_windows_names_are_one_port_in_any_case(monkeypatch: pytest.MonkeyPatch) -> None:
    r"""COM5, com5 and \\.\COM5."""
    monkeypatch.setattr("pacer.sensor.plugs.outlet.os.name", "nt")
    assert same_port("COM5", r"\\.\com5")
    assert not same_port("COM5", "COM15")

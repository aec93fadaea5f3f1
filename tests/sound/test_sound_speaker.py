"""The speaker by a fake program and fake time: one at a time, stale words dropped."""

from __future__ import annotations

from pacer.sound.speaker import Speaker


class Program:
    """A speech program that ends when told; killed, it takes a moment."""

    def __init__(self, argv: list[str]) -> None:
        self.argv = argv
        self.code: int | None = None
        self.killed = False

    def poll(self) -> int | None:
        """Return the code."""
        return self.code

    def kill(self) -> None:
        """Remember it; it ends when the test says so."""
        self.killed = True


class Runs:
    """Remembers what was started."""

    def __init__(self) -> None:
        self.all: list[Program] = []
        self.broken = False

    def __call__(self, argv: list[str]) -> Program:
        """Start one."""
        if self.broken:
            raise FileNotFoundError(2, "No such file or directory")
        self.all.append(Program(argv))
        return self.all[-1]

    @property
    def words(self) -> list[str]:
        """What was said."""
        return [program.argv[-1] for program in self.all]


def _speaker(stop: tuple[str, ...] = ()) -> tuple[Speaker, Runs]:
    runs = Runs()
    return Speaker(lambda words: ["speak", words], runs, stop), runs


def test_words_begin_when_the_tone_is_over() -> None:
    """Due at 3.2 s: not before, and looked at just then."""
    speaker, runs = _speaker()
    speaker.say("too hot", 3.2)
    assert speaker.look(0.0) == 3.2
    assert runs.words == []
    speaker.look(3.2)
    assert runs.words == ["too hot"]
    runs.all[0].code = 0
    assert speaker.look(4.0) is None
    assert speaker.trouble == ""


def test_new_words_cut_the_old_ones_and_wait_for_their_end() -> None:
    """Never two at once: not even while the killed one is ending."""
    speaker, runs = _speaker()
    speaker.say("ready", 0.0)
    speaker.look(0.0)
    speaker.say("peen", 0.5)
    assert runs.all[0].killed
    assert speaker.look(0.5) == 0.6
    assert runs.words == ["ready"]
    runs.all[0].code = -9
    speaker.look(0.6)
    assert runs.words == ["ready", "peen"]
    assert speaker.trouble == "", "a killed program has not failed"


def test_words_are_never_queued() -> None:
    """Three told before the first could begin: the last one is said."""
    speaker, runs = _speaker()
    for due_s, words in ((1.0, "ready"), (1.1, "wait"), (1.2, "reheat")):
        speaker.say(words, due_s)
    for now_s in (1.0, 1.1, 1.2, 1.3):
        speaker.look(now_s)
    assert runs.words == ["reheat"]


def test_stale_words_are_dropped() -> None:
    """A second after their moment nobody needs them, as after a suspended laptop."""
    speaker, runs = _speaker()
    speaker.say("stop", 1.0)
    assert speaker.look(2.5) is None
    assert runs.all == []


def test_hush_cuts_and_forgets() -> None:
    """What is said and what was to be said."""
    speaker, runs = _speaker()
    speaker.say("ready", 0.0)
    speaker.look(0.0)
    speaker.hush()
    assert runs.all[0].killed
    runs.all[0].code = -9
    speaker.say("wait", 1.0)
    speaker.hush()
    assert speaker.look(1.0) is None
    assert runs.words == ["ready"]


def test_a_server_is_told_to_stop_too() -> None:
    """Killing the messenger does not silence the one who speaks."""
    speaker, runs = _speaker(stop=("speak", "--cancel"))
    speaker.say("ready", 0.0)
    speaker.look(0.0)
    speaker.hush()
    assert runs.words == ["ready", "--cancel"]
    speaker.say("wait", 0.1)
    speaker.look(0.1)
    assert runs.words == ["ready", "--cancel"]
    for program in runs.all:
        program.code = 0
    speaker.look(0.2)
    assert runs.words == ["ready", "--cancel", "wait"]


def test_a_program_that_fails_is_told() -> None:
    """A code, a missing program, one that never ends: a short reason each."""
    speaker, runs = _speaker()
    speaker.say("ready", 0.0)
    speaker.look(0.0)
    runs.all[0].code = 127
    speaker.look(0.1)
    assert speaker.trouble == "its program ended (code 127)"

    speaker, runs = _speaker()
    runs.broken = True
    speaker.say("ready", 0.0)
    speaker.look(0.0)
    assert speaker.trouble == "its program can't be started (No such file or directory)"

    speaker, runs = _speaker()
    speaker.say("ready", 0.0)
    speaker.look(0.0)
    speaker.look(10.1)
    assert speaker.trouble == "its program does not end"
    assert runs.all[0].killed

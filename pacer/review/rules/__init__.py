"""The rules: each looks for some kinds of finding while a recording is folded.

A new finding: its rule here, in the module of its subject and in `every.py`; a row in
trade/findings.toml that says what it usually leads to; a planted fault in
tests/review/planted, and its line in guide/findings.md.
"""

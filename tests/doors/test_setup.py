"""Programs that some tests need: found by any of their names, and asked for in words where they are missing."""

from generator.setup import OPTIONAL_TOOLS, OptionalTool


def test_a_program_is_found_by_any_of_its_names(tmp_path, monkeypatch):
    program = tmp_path / "second-name"
    program.write_text("#!/bin/sh\n", encoding="utf-8")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert OptionalTool(("first-name", "second-name"), "tests", "apt-get install it").path == str(program)
    assert OptionalTool(("first-name",), "tests", "apt-get install it").path is None


def test_what_is_missing_says_what_is_skipped_and_how_to_get_it():
    for tool in OPTIONAL_TOOLS.values():
        assert tool.skipped in tool.missing_words and "apt-get install" in tool.missing_words


def test_every_mark_of_an_optional_program_is_registered(pytestconfig):
    registered = {line.split(":")[0] for line in pytestconfig.getini("markers")}
    assert set(OPTIONAL_TOOLS) <= registered

"""The JSON Schemas that the program prints, judged by a general-purpose validator.

The reader and the schema of the files must refuse and accept the same forms; the JSON that commands
print must keep to its own schema.
"""

import subprocess
import tomllib

import jsonschema
import pytest
import tool

FILES = ["robot.toml", "board.toml", "wiring.toml"]


def validator(schema):
    kind = jsonschema.validators.validator_for(schema)
    kind.check_schema(schema)
    return kind(schema)


@pytest.fixture(scope="module")
def files_schema():
    return validator(tool.ask("schema"))


def test_the_schema_is_one(files_schema):
    assert files_schema.schema["$schema"].endswith("2020-12/schema")


@pytest.mark.parametrize("name", tool.DEMOS)
def test_demos_keep_to_the_schema(files_schema, name):
    seen = 0
    for file in FILES:
        path = tool.ROOT / "demos" / name / file
        if path.exists():
            problems = list(files_schema.iter_errors(tomllib.loads(path.read_text(encoding="utf-8"))))
            assert not problems, problems[0].message
            seen += 1
    assert seen


def test_the_library_keeps_to_the_schema(files_schema):
    library = sorted((tool.ROOT / "crates" / "model" / "library").glob("*.toml"))
    assert len(library) >= 10
    for path in library:
        problems = list(files_schema.iter_errors(tomllib.loads(path.read_text(encoding="utf-8"))))
        assert not problems, f"{path.name}: {problems[0].message}"


def damaged(text):
    """The text with one key misspelt, or one value of a wrong kind, once for every kind of line."""
    lines = text.split("\n")
    section, seen = "", set()
    for i, line in enumerate(lines):
        if line.startswith("["):
            section = line.split("]")[0]
        key, equals, value = line.partition(" = ")
        # One line of an array over several cannot be changed alone.
        several = line.startswith(" ") or value.strip() == "["
        if not equals or several or line.startswith("#") or (section, key) in seen:
            continue
        seen.add((section, key))
        for new in (f"{key}x = {value}", f"{key} = 1979-05-27", f"{key} = [[[]]]"):
            yield f"{section} {new}", "\n".join(lines[:i] + [new] + lines[i + 1 :])


def test_reader_and_schema_refuse_the_same_forms(files_schema, tmp_path):
    text = (tool.ROOT / "demos" / "cart" / "robot.toml").read_text(encoding="utf-8")
    differ, tried = [], 0
    for what, changed in damaged(text):
        tried += 1
        (tmp_path / "robot.toml").write_text(changed, encoding="utf-8")
        done = subprocess.run([tool.program(), "check", str(tmp_path)], capture_output=True, timeout=60)
        refused = done.returncode == 2
        valid = files_schema.is_valid(tomllib.loads(changed))
        if not refused or valid:
            differ.append(f"{what}: reader refuses: {refused}, schema refuses: {not valid}")
    assert tried > 100
    assert not differ, differ


@pytest.mark.parametrize(
    "command, arguments",
    [
        ("check", ["check", "demos/samovar-first-try", "--json"]),
        ("situations", ["situations", "demos/samovar", "--json"]),
        ("parts", ["parts", "--json"]),
        ("mend", ["mend", "demos/samovar-first-try", "--json"]),
    ],
)
def test_what_commands_print_keeps_to_its_schema(command, arguments):
    schema = validator(tool.ask("schema", command))
    problems = list(schema.iter_errors(tool.ask(*arguments)))
    assert not problems, problems[0].message

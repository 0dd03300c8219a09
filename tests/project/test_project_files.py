"""The project's own files: pins, versions, layers, nothing of one machine."""

import re
import subprocess
import tomllib
from pathlib import Path

import pytest

import review

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def tracked_text_files() -> list[Path]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a git checkout")
    endings = {".py", ".md", ".toml", ".txt", ".html", ".in", ""}
    return [p for p in (ROOT / name for name in listed.stdout.splitlines()) if p.suffix in endings and p.is_file()]


def test_version_is_the_same_everywhere():
    assert PROJECT["project"]["version"] == review.__version__


@pytest.mark.parametrize("kind", ["run", "dev"])
def test_every_requirement_is_pinned_with_hashes_and_no_address(kind):
    text = (ROOT / "requirements" / f"{kind}.txt").read_text(encoding="utf-8")
    assert "://" not in text
    entries = re.split(r"\n(?=\S)", text.replace("\\\n", " ").strip())
    assert len(entries) > 20
    for entry in entries:
        assert re.match(r"[A-Za-z0-9._-]+==\S+", entry), entry[:60]
        assert "--hash=sha256:" in entry, entry[:60]


def test_what_runs_is_a_part_of_what_checks():
    def pins(kind: str) -> set[str]:
        text = (ROOT / "requirements" / f"{kind}.txt").read_text(encoding="utf-8")
        return set(re.findall(r"^([A-Za-z0-9._-]+==\S+)", text, re.MULTILINE))

    assert pins("run") <= pins("dev")


def test_nothing_brings_a_second_opencv():
    """Its other builds carry Qt plug-ins that stop a window on X11."""
    text = (ROOT / "requirements" / "dev.txt").read_text(encoding="utf-8")
    assert set(re.findall(r"^(opencv[\w-]*)==", text, re.MULTILINE)) == {"opencv-python-headless"}


def test_every_room_stands_in_the_layers():
    layers = PROJECT["tool"]["importlinter"]["contracts"][0]["layers"]
    named = {name.strip(" ()") for layer in layers for name in layer.split("|")}
    rooms = {p.parent.name for p in (ROOT / "review").glob("*/__init__.py")}
    assert rooms <= named


def test_the_package_takes_the_whole_sample_lesson_but_the_truth():
    included = PROJECT["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    lesson = {f"sample_clips/{p.name}" for p in (ROOT / "sample_clips").glob("[!.]*")}
    assert set(included) == lesson - {"sample_clips/truth.json"}
    assert all(inside == f"review/{outside}" for outside, inside in included.items())


def test_the_package_takes_nothing_of_the_tests():
    assert PROJECT["tool"]["hatch"]["build"]["targets"]["wheel"]["packages"] == ["review"]
    assert not list((ROOT / "review").rglob("axe*"))


def test_readme_names_the_two_commands_and_they_exist():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    start = (ROOT / "start.py").read_text(encoding="utf-8")
    for command in ("demo", "test"):
        assert f"python3 start.py {command}" in readme
        assert f'"{command}"' in start


def test_no_paths_of_one_machine_and_no_download_addresses():
    bad = re.compile(r"(?<![\w.])/(work|root|home)/\w|https?://[^ )\"]+\.(whl|tar\.gz|tgz)\b|index-url")
    for path in tracked_text_files():
        if path == Path(__file__) or path.name.startswith("LICENSE"):
            continue
        found = bad.search(path.read_text(encoding="utf-8", errors="replace"))
        assert found is None, f"{path.relative_to(ROOT)}: {found and found.group(0)}"


def test_every_module_says_what_it_is():
    for path in (ROOT / "review").rglob("*.py"):
        assert path.read_text(encoding="utf-8").lstrip().startswith(('"""', "#!")), path


def test_documents_named_in_the_documents_exist():
    for page in [ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").glob("*.md")]:
        for target in re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name} names {target}"


def test_lines_of_the_documents_are_short_but_for_tables_and_commands():
    for page in [ROOT / "DEVELOPERS.md", *(ROOT / "docs").glob("*.md")]:
        for line in page.read_text(encoding="utf-8").splitlines():
            assert len(line) <= 120 or line.startswith(("|", "    ")), f"{page.name}: {line[:60]}"


def test_a_test_files_name_occurs_once():
    names = [p.name for p in (ROOT / "tests").rglob("test_*.py")]
    assert sorted(names) == sorted(set(names))

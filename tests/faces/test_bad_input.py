"""Bad input of every kind gets one clear sentence, the right exit status, and no traceback."""

import io
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
import trimesh

from tankside.main import run

NAN_STL = b"solid x\nfacet normal 0 0 1\nouter loop\nvertex nan 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\nendsolid\n"


@dataclass(frozen=True)
class Bad:
    """`old` is replaced by `new` in the job; `prepare` may spoil files; the sentence must hold
    every word of `says`."""

    id: str
    status: int
    says: tuple[str, ...]
    old: str = ""
    new: str = ""
    prepare: Callable[[Path], object] | None = None


def spoiled(content: bytes, name: str = "block.stl") -> Callable[[Path], object]:
    return lambda folder: (folder / name).write_bytes(content)


def bomb() -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("3D/3dmodel.model", b" " * (600 * 2**20))
    return packed.getvalue()


def two_blocks(folder: Path) -> None:
    """The block, and beside it another one of its own."""
    block = trimesh.load_mesh(folder / "block.stl")
    beside = block.copy()
    beside.apply_translation((0.0, -60.0, 0.0))
    trimesh.util.concatenate([block, beside]).export(folder / "block.stl")


NEAR = 'near = ["0 cm", "0 cm", "12 cm"]'
ANODE = 'at = ["-13 cm", "0 cm", "10 cm"]'
PART = 'at = ["0 cm", "0 cm", "10 cm"]\nrotate'
SHIELD = (
    '\n[[shield]]\nshape = "plate"\nsize = ["8 cm", "8 cm"]\nat = ["{x} cm", "0 cm", "10 cm"]\n'
)

TABLE = [
    # the file itself
    Bad("not toml", 2, ("job.toml", "TOML"), "[bath]", "[bath"),
    Bad("empty job", 2, ("bath", "missing"), prepare=spoiled(b"", "job.toml")),
    Bad("binary job", 2, ("job.toml", "UTF-8"), prepare=spoiled(b"\xff\xfe\x00\x80", "job.toml")),
    Bad("key twice", 2, ("job.toml",), 'surface = "metal"', 'surface = "metal"\nunit = "mm"'),
    # keys
    Bad("unknown table", 2, ("suply", "'supply'"), "[supply]", "[suply]"),
    Bad("unknown key", 2, ("sulphuric_acid", "sulfuric_acid"), "sulfuric_acid", "sulphuric_acid"),
    Bad("unknown anode key", 2, ("[anode 1]", "facin", "facing"), "facing = [1", "facin = [1"),
    Bad("missing key", 2, ("temperature", "missing"), 'temperature = "25 degC"\n', ""),
    Bad("missing tank shape", 2, ("[tank]", "shape"), 'shape = "box"\n', ""),
    Bad("unknown tank shape", 2, ("[tank]", "'bucket'"), 'shape = "box"', 'shape = "bucket"'),
    Bad("unknown family", 2, ("acid sulphate", "acid sulfate"), '"acid sulfate"', '"acid sulphate"'),
    Bad("unknown agitation", 2, ("gentel air", "gentle air"), '"gentle air"', '"gentel air"'),
    Bad("both agitations", 2, ("agitation", "boundary_layer"), "[tank]", 'boundary_layer = "90 um"\n[tank]'),
    Bad("no surface", 2, ("[part]", "surface", "seed"), 'surface = "metal"\n', ""),
    Bad("unknown measure", 2, ("measured_at", "thinnest 5 percent"), '"mean"', '"thinnest"'),
    # quantities
    Bad("no unit", 2, ("liquid_depth", "no unit", "cm"), '"20 cm"\n\n', '"20"\n\n'),
    Bad("bare number", 2, ("liquid_depth", "unit"), 'liquid_depth = "20 cm"', "liquid_depth = 20"),
    Bad("wrong kind", 2, ("temperature", "a temperature"), '"25 degC"', '"25 g/L"'),
    Bad("nonsense unit", 2, ("thickness", "wibble"), '"50 um"', '"50 wibble"'),
    Bad("number spelt wrong", 2, ("thickness", "5o um"), '"50 um"', '"5o um"'),
    Bad("not a number", 2, ("thickness", "nan um"), '"50 um"', '"nan um"'),
    Bad("infinite", 2, ("thickness",), '"50 um"', '"1e999 um"'),
    Bad("negative depth", 2, ("liquid_depth", "above zero"), 'depth = "20 cm"', 'depth = "-20 cm"'),
    Bad("negative salt", 2, ("copper_sulfate", "negative"), '"75 g/L"', '"-75 g/L"'),
    Bad("zero thickness", 2, ("thickness", "above zero"), '"50 um"', '"0 um"'),
    Bad("zero direction", 2, ("[anode 1]", "facing"), "facing = [1, 0, 0]", "facing = [0, 0, 0]"),
    Bad("two coordinates", 2, ("[contact 1]", "near"), NEAR, 'near = ["0 cm", "0 cm"]'),
    Bad("gallons", 2, ("gallon",), '"75 g/L"', '"0.6 lb/gallon"'),
    Bad("grams for milligrams", 2, ("chloride",), '"70 mg/L"', '"70 g/L"'),
    Bad("no copper", 2, ("copper",), '"75 g/L"', '"0 g/L"'),
    Bad("frozen bath", 2, ("-20 °C",), '"25 degC"', '"-20 degC"'),
    Bad("two currents", 2, ("[goal]", "both"), '"mean"', '"mean"\ncurrent = "1 A"\ncurrent_density = "1 A/dm^2"'),
    Bad("too few panels", 2, ("part_panels", "2000"), "part_panels = 2000", "part_panels = 20"),
    Bad("centimetres for micrometres", 2, ("[goal] thickness", "500 mm", "unit"), '"50 um"', '"50 cm"'),
    Bad("wire as thick as an arm", 2, ("contact 1", "wire", "80 mm"), 'wire = "0.8 mm"', 'wire = "8 cm"'),
    # meshes
    Bad("no mesh file", 2, ("gone.stl",), "block.stl", "gone.stl"),
    Bad("mesh is a folder", 2, ("folder",), 'file = "block.stl"', 'file = "."'),
    Bad("unknown format", 2, ("step",), "block.stl", "block.step", spoiled(b"x", "block.step")),
    Bad("text as stl", 2, ("block.stl",), prepare=spoiled(b"Dear Sir, here is the part.")),
    Bad("empty stl", 2, ("block.stl",), prepare=spoiled(b"")),
    Bad("stl cut short", 2, ("block.stl",), prepare=spoiled(b"x" * 80 + b"\x0c\0\0\0" + b"\0" * 99)),
    Bad("stl without triangles", 2, ("block.stl",), prepare=spoiled(b"x" * 80 + b"\0" * 4)),
    Bad("stl with nan", 2, ("block.stl", "finite"), prepare=spoiled(NAN_STL)),
    Bad("obj without faces", 2, ("a.obj",), "block.stl", "a.obj", spoiled(b"v 0 0 0\n", "a.obj")),
    Bad("3mf that is no zip", 2, ("a.3mf",), "block.stl", "a.3mf", spoiled(b"PK", "a.3mf")),
    Bad("3mf bomb", 2, ("a.3mf",), "block.stl", "a.3mf", lambda folder: spoiled(bomb(), "a.3mf")(folder)),
    Bad("glb that is none", 2, ("a.glb",), "block.stl", "a.glb", spoiled(b"glTF123", "a.glb")),
    Bad("no stl unit", 2, ("unit", "mm"), 'unit = "mm"\n', ""),
    Bad("unknown mesh unit", 2, ("furlong",), 'unit = "mm"', 'unit = "furlong"'),
    # what the bench cannot do
    Bad("part outside the tank", 3, ("part 1", "wall"), PART, 'at = ["40 cm", "0 cm", "10 cm"]\nrotate'),
    Bad("part above the liquid", 3, ("part 1", "liquid"), PART, 'at = ["0 cm", "0 cm", "19 cm"]\nrotate'),
    Bad("part through the floor", 3, ("part 1", "floor"), PART, 'at = ["0 cm", "0 cm", "1 cm"]\nrotate'),
    Bad("part in an anode", 3, ("part 1", "anode 1"), ANODE, 'at = ["-1.5 cm", "0 cm", "10 cm"]'),
    Bad("anode outside", 3, ("anode 1",), ANODE, 'at = ["-30 cm", "0 cm", "10 cm"]'),
    Bad("anode in the air", 3, ("anode 1", "liquid"), ANODE, 'at = ["-13 cm", "0 cm", "40 cm"]'),
    Bad("contact far off", 3, ("contact 1", "part 1"), NEAR, 'near = ["0 cm", "9 cm", "18 cm"]'),
    Bad("contact of no part", 2, ("contact 1", "part"), NEAR, NEAR + "\npart = 3"),
    Bad("a body no wire holds", 3, ("part 1 falls into 2 bodies", "no contact holds", "from what hangs on a wire"), prepare=two_blocks),
    Bad("shield through part", 3, ("shield 1", "part 1"), "[supply]", SHIELD.format(x=1) + "[supply]"),
    Bad("overfull", 3, ("liquid_depth",), 'liquid_depth = "20 cm"', 'liquid_depth = "40 cm"'),
    Bad("footprint that crosses itself", 2, ("footprint",), 'shape = "box"\ninside = ["30 cm", "20 cm", "25 cm"]', 'shape = "prism"\nheight = "25 cm"\nfootprint = [["0 cm","0 cm"],["30 cm","20 cm"],["30 cm","0 cm"],["0 cm","20 cm"]]'),
    Bad("more than the supply", 3, ("9 A", "5 A"), '"mean"', '"mean"\ncurrent = "9 A"'),
    Bad("deadly supply", 3, ("60 V",), '"8 V"', '"230 V"'),
    Bad("steaming bath", 3, ("60 °C",), '"25 degC"', '"85 degC"'),
    Bad("acid beyond any bath", 3, ("sulfuric acid",), '"190 g/L"', '"900 g/L"'),
]  # fmt: skip


@pytest.mark.parametrize("bad", TABLE, ids=lambda bad: bad.id)
def test_one_sentence_and_the_right_status(
    bad: Bad, job_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = job_folder / "job.toml"
    text = job.read_text("utf-8")
    assert bad.old in text
    job.write_text(text.replace(bad.old, bad.new, 1), "utf-8")
    if bad.prepare is not None:
        bad.prepare(job_folder)
    before = sorted(path.name for path in job_folder.iterdir())

    status = run(["plan", str(job), "--out", str(job_folder / "out")])

    said = capsys.readouterr()
    assert status == bad.status, said.err
    assert said.out == ""
    assert said.err.startswith("tankside: ")
    assert said.err.count("\n") == 1
    assert "Traceback" not in said.err
    assert len(said.err) < 400
    for words in bad.says:
        assert words in said.err
    assert sorted(path.name for path in job_folder.iterdir()) == before


COMMAND_LINES = [
    (["plan"], "JOB.toml"),
    (["paln"], "paln"),
    (["plan", "gone.toml"], "gone.toml"),
    (["part", "gone.stl"], "gone.stl"),
    (["check", "no-such-case"], "no-such-case"),
    (["plan", "job.toml", "--paper", "a3"], "a3"),
]


@pytest.mark.parametrize(("arguments", "says"), COMMAND_LINES)
def test_a_wrong_command_line_is_one_sentence(
    arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(arguments) == 2
    said = capsys.readouterr()
    assert said.err.count("\n") == 1
    assert says in said.err

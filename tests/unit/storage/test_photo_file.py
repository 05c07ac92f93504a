"""Photos from files: read upright, and refused where they are none."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tankside.base.errors import BadInput
from tankside.storage.photo_file import read_photo


def drawn() -> Image.Image:
    pixels = np.zeros((20, 40, 3), dtype=np.uint8)
    pixels[:, :10] = 200
    return Image.fromarray(pixels)


def test_a_photo_is_its_pixels(tmp_path: Path) -> None:
    path = tmp_path / "panel.png"
    drawn().save(path)
    found = read_photo(path)
    assert found.shape == (20, 40, 3)
    assert found[0, 0, 0] == 200


def test_what_the_camera_noted_turns_it_upright(tmp_path: Path) -> None:
    path = tmp_path / "panel.jpg"
    noted = Image.Exif()
    noted[0x0112] = 6
    drawn().save(path, exif=noted)
    found = read_photo(path)
    assert found.shape == (40, 20, 3)
    assert found[:8].mean() > 150 > found[20:].mean()


@pytest.mark.parametrize(("content", "words"), [(b"no picture", "no picture"), (b"", "no picture")])
def test_what_is_no_picture_is_refused(tmp_path: Path, content: bytes, words: str) -> None:
    path = tmp_path / "panel.jpg"
    path.write_bytes(content)
    with pytest.raises(BadInput, match=words):
        read_photo(path)


def test_a_cut_photo_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "panel.jpg"
    Image.effect_noise((400, 300), 60.0).save(path)
    path.write_bytes(path.read_bytes()[:3000])
    with pytest.raises(BadInput, match="no picture"):
        read_photo(path)


def test_a_missing_photo_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such file"):
        read_photo(tmp_path / "nowhere.jpg")


def test_a_small_file_with_a_huge_picture_is_not_unpacked(tmp_path: Path) -> None:
    path = tmp_path / "panel.png"
    Image.new("1", (9000, 9000)).save(path)
    assert path.stat().st_size < 100_000
    with pytest.raises(BadInput, match="81 million pixels"):
        read_photo(path)

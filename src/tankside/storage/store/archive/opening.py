"""An archive from anywhere, opened with distrust.

Nothing of it is ever written under a name that it gives. Refused, before anything is changed: a
file that is no archive or was cut off; another form, a newer version; names that lead elsewhere or
come twice; what the manifest does not list, or lists and is not there; sizes or hashes that differ;
more than fits into memory or disk in good sense (`Limits`), however small it is packed.
"""

import hashlib
import json
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tankside.base.errors import BadInput
from tankside.storage.store.archive import layout


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The most that is taken: files, bytes of one, bytes of all, and bytes of the manifest."""

    files: int = 500_000
    one: int = 2**30
    all: int = 64 * 2**30
    manifest: int = 128 * 2**20


class OpenedArchive:
    """An archive whose manifest is sound; its files are read by their names."""

    def __init__(self, path: Path, limits: Limits | None = None) -> None:
        self.where, self._limits = path.name, limits or Limits()
        try:
            self._zip = zipfile.ZipFile(path)
        except FileNotFoundError as error:
            raise BadInput("there is no file {path}", path=path) from error
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
            raise BadInput(
                "this is no archive of a store, or its end is lacking; copy it again",
                where=self.where,
            ) from error
        try:
            self._check_names()
            self.manifest = self._manifest()
            self._listed = self._checked_list()
        except BaseException:
            self._zip.close()
            raise

    def __enter__(self) -> "OpenedArchive":
        return self

    def __exit__(self, *_: object) -> None:
        self._zip.close()

    @property
    def paths(self) -> tuple[str, ...]:
        """All files but the manifest."""
        return tuple(self._listed)

    def read(self, path: str) -> bytes:
        """A file's content, which is what the manifest says."""
        size, sha256 = self._listed[path]
        content = self._bytes(path, size)
        if len(content) != size or hashlib.sha256(content).hexdigest() != sha256:
            raise BadInput(
                "{path} is not what the manifest says; the archive is damaged or was changed, "
                "take another copy",
                path=path,
                where=self.where,
            )
        return content

    def check_all(self) -> None:
        """Reads every file once; BadInput at the first that differs."""
        for path in self._listed:
            self.read(path)

    def _check_names(self) -> None:
        infos = self._zip.infolist()
        if len(infos) > self._limits.files:
            raise BadInput(
                "it holds over {files} files", files=self._limits.files, where=self.where
            )
        if sum(info.file_size for info in infos) > self._limits.all:
            raise BadInput(
                "unpacked it would take over {most:.0f} GiB",
                most=self._limits.all / 2**30,
                where=self.where,
            )
        seen: set[str] = set()
        for info in infos:
            name = info.orig_filename
            if name in seen:
                raise BadInput("it holds {name!r} twice", name=name, where=self.where)
            seen.add(name)
            if not _stays_inside(name) or info.is_dir():
                raise BadInput(
                    "it holds the name {name!r}, which leads out", name=name, where=self.where
                )
            if info.flag_bits & 1:
                raise BadInput("it is encrypted; unlock it first", where=self.where)

    def _manifest(self) -> dict[str, Any]:
        if layout.MANIFEST not in self._zip.namelist():
            raise BadInput("this is a ZIP file, but no archive of a store", where=self.where)
        most = min(self._limits.manifest, self._limits.one)
        content = self._bytes(layout.MANIFEST, most)
        try:
            found = json.loads(content)
        except (ValueError, RecursionError) as error:
            raise BadInput("its manifest is damaged", where=self.where) from error
        if not isinstance(found, dict) or found.get("format") != layout.FORMAT:
            raise BadInput("this is a ZIP file, but no archive of a store", where=self.where)
        version = found.get("version")
        if version != layout.VERSION:
            raise BadInput(
                "it is of form {version!r}, and this program reads form {ours}; use the version "
                "of the program that wrote it, or a newer one",
                version=version,
                ours=layout.VERSION,
                where=self.where,
            )
        return found

    def _checked_list(self) -> dict[str, tuple[int, str]]:
        files = self.manifest.get("files")
        try:
            listed = {
                str(path): (int(entry["bytes"]), str(entry["sha256"]))
                for path, entry in dict(files or {}).items()
            }
        except (TypeError, ValueError, KeyError) as error:
            raise BadInput("its manifest is damaged", where=self.where) from error
        there = set(self._zip.namelist()) - {layout.MANIFEST}
        for path in sorted(there ^ set(listed)):
            words = "is not in the manifest" if path in there else "is lacking"
            raise BadInput(
                "{path!r} {words}; take another copy", path=path, words=words, where=self.where
            )
        return listed

    def _bytes(self, path: str, most: int) -> bytes:
        """At most one byte beyond `most`, so that a file that lies about its size stays small."""
        if most > self._limits.one:
            raise BadInput(
                "{path} would take {size:.1f} GiB; {most:.1f} is the most",
                path=path,
                size=most / 2**30,
                most=self._limits.one / 2**30,
                where=self.where,
            )
        try:
            with self._zip.open(path) as file:
                content = file.read(most + 1)
        except (zipfile.BadZipFile, zlib.error, OSError, EOFError, NotImplementedError) as error:
            raise BadInput(
                "{path} is damaged; take another copy", path=path, where=self.where
            ) from error
        except RuntimeError as error:  # zipfile's word for a file that is locked
            raise BadInput(
                "{path} cannot be read: {error}", path=path, error=error, where=self.where
            ) from error
        if len(content) > most:
            raise BadInput("{path} is larger than is said of it", path=path, where=self.where)
        return content


def _stays_inside(name: str) -> bool:
    parts = name.split("/")
    return (
        "\\" not in name
        and ":" not in name
        and "\0" not in name
        and all(part not in ("", ".", "..") for part in parts)
    )

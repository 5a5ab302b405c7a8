"""A LibreOffice that stays open: it opens workbooks, edits them as a person would, and saves them.

It is started once for a process of tests (the fixture ``office``). A macro of its own sleeps until
somebody writes to a named pipe, then does what a file in its folder asks. So nothing is needed but
LibreOffice Calc without a screen. What it made of a workbook is kept for the other processes of
the same tests. Left alone for three minutes it ends, and is started again when it is asked.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple
from xml.sax.saxutils import escape

PROGRAM = shutil.which("soffice") or shutil.which("libreoffice")
SECONDS, TRIES = 100, 3
"""How long it may take over one workbook on a busy machine, and how often it is begun anew. [s]"""


class Form(NamedTuple):
    """A form in which it saves: the ending of the file, its own name for it, and what it asks."""

    ending: str
    name: str
    options: str = ""


AS_WORKBOOK = Form("xlsx", "Calc MS Excel 2007 XML")
AS_PAGE = Form("html", "HTML (StarCalc)")
AS_TEXT = Form(
    "csv", "Text - txt - csv (StarCalc)", "44,34,76,1,,0,false,false,true,false,false,-1"
)
"""Comma, quotes, UTF-8, from the first line, values as shown, one file for every sheet."""

Step = tuple[str | int | float, ...]
"""A word of the macro below and what it needs."""

MACRO = """
Sub Main(folder, bell)
  Dim files, said, idle
  On Error Goto Gone
  files = CreateUnoService("com.sun.star.ucb.SimpleFileAccess")
  Do Until idle > 2
    Shell("timeout", 0, "60 cat " & bell, True)
    idle = idle + 1
    If files.exists(folder & "/asked") Then
      said = Steps(files, folder & "/asked")
      files.kill(folder & "/asked")
      Told(files, folder & "/telling", said)
      files.move(folder & "/telling", folder & "/told")
      idle = 0
    End If
  Loop
Gone:
  StarDesktop.terminate()
End Sub

Sub Told(files, place, text)
  Dim stream
  stream = CreateUnoService("com.sun.star.io.TextOutputStream")
  stream.setOutputStream(files.openFileWrite(place))
  stream.setEncoding("UTF-8")
  stream.writeString(text)
  stream.closeOutput()
End Sub

Function Steps(files, asked) As String
  Dim stream, book, words, standing As Boolean
  stream = CreateUnoService("com.sun.star.io.TextInputStream")
  stream.setInputStream(files.openFileRead(asked))
  stream.setEncoding("UTF-8")
  On Error Goto Wrong
  Do Until stream.isEOF()
    words = Split(stream.readLine(), Chr(9))
    Select Case words(0)
    Case "open"
      Steps = "not opened"
      book = Opened(words(1), CLng(words(2)))
      standing = Not IsNull(book)
      If Not standing Then Exit Do
      Steps = ""
    Case "number"
      book.Sheets.getByName(words(1)).getCellRangeByName(words(2)).setValue(Val(words(3)))
    Case "text"
      book.Sheets.getByName(words(1)).getCellRangeByName(words(2)).setString(words(3))
    Case "insert"
      book.Sheets.getByName(words(1)).Rows.insertByIndex(CLng(words(2)) - 1, CLng(words(3)))
    Case "remove"
      book.Sheets.getByName(words(1)).Rows.removeByIndex(CLng(words(2)) - 1, CLng(words(3)))
    Case "move"
      book.Sheets.moveByName(words(1), CInt(words(2)))
    Case "rename"
      book.Sheets.getByName(words(1)).setName(words(2))
    Case "save"
      book.storeToURL(words(1), _
        Array(Named("FilterName", words(2)), Named("FilterOptions", words(3))))
    Case "close"
      standing = False
      book.close(True)
    End Select
  Loop
Ending:
  stream.closeInput()
  If standing Then book.close(True)
  Exit Function
Wrong:
  If Steps = "" Then Steps = "line " & Erl & ": " & Error
  Resume Ending
End Function

Function Opened(place, calculated)
  Dim provider, settings
  provider = CreateUnoService("com.sun.star.configuration.ConfigurationProvider")
  settings = provider.createInstanceWithArguments( _
    "com.sun.star.configuration.ConfigurationUpdateAccess", _
    Array(Named("nodepath", "/org.openoffice.Office.Calc/Formula/Load")))
  settings.OOXMLRecalcMode = calculated
  settings.commitChanges()
  Opened = StarDesktop.loadComponentFromURL(place, "_blank", 0, Array(Named("Hidden", True)))
End Function

Function Named(name, value)
  Dim one As New com.sun.star.beans.PropertyValue
  one.Name = name
  one.Value = value
  Named = one
End Function
"""

LIBRARIES = """<?xml version="1.0" encoding="UTF-8"?>
<library:libraries xmlns:library="http://openoffice.org/2000/library">
 <library:library library:name="Standard" library:link="false"/>
</library:libraries>
"""
LIBRARY = """<?xml version="1.0" encoding="UTF-8"?>
<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard"
 library:readonly="false" library:passwordprotected="false">{}</library:library>
"""
ELEMENT = '<library:element library:name="Office"/>'
MODULE = """<?xml version="1.0" encoding="UTF-8"?>
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Office"
 script:language="StarBasic">{}</script:module>
"""
CALCULATE = {True: 0, False: 1}
"""Its setting for formulas when a workbook is opened: all calculated anew, or none if it can."""
NOT_OPENED = "not opened"

SET_UP = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Setup/Office"><prop oor:name="ooSetupInstCompleted" oor:op="fuse">
<value>true</value></prop></item>
</oor:items>
"""
"""A profile that is not begun anew, which would replace the macro."""


class Office:
    """LibreOffice, started at once, and again when it is asked for something and has gone.

    Where it does not answer at all it is waited for once, and not by each test.

    Parameters
    ----------
    folder : Path
        For its profile, and for what goes to it and comes back.
    shared : Path
        Where the processes of the same tests keep what it made of workbooks.
    """

    def __init__(self, folder: Path, shared: Path) -> None:
        self.folder, self.shared = folder, shared
        self.bell = folder / "bell"
        os.mkfifo(self.bell)
        basic = folder / "profile" / "user" / "basic"
        (basic / "Standard").mkdir(parents=True)
        (basic.parent / "registrymodifications.xcu").write_text(SET_UP)
        for kind, modules in (("script", ELEMENT), ("dialog", "")):
            (basic / f"{kind}.xlc").write_text(LIBRARIES)
            (basic / "Standard" / f"{kind}.xlb").write_text(LIBRARY.format(modules))
        (basic / "Standard" / "Office.xba").write_text(MODULE.format(escape(MACRO)))
        self._process = self._start()
        self._told([])

    def edited(self, data: bytes, steps: Sequence[Step] = (), *, calculated: bool = False) -> bytes:
        """The workbook that it saves after some steps, which it must be able to open.

        ``calculated``: every formula anew when it is opened; otherwise as it does by itself.
        """
        (saved,) = self.files(data, steps=steps, calculated=calculated).values()
        return saved

    def files(
        self,
        data: bytes,
        form: Form = AS_WORKBOOK,
        *,
        steps: Sequence[Step] = (),
        calculated: bool = False,
    ) -> dict[str, bytes]:
        """The files that it saves for a workbook, by name; none when it cannot open it.

        A form that has one sheet in a file names it after the sheet: ``plan-Packs.csv``.
        """
        asked = sha256(repr((form, list(steps), calculated)).encode() + data).hexdigest()
        kept = self.shared / asked
        if not kept.exists():
            out = Path(tempfile.mkdtemp(dir=self.folder))
            self._save(data, out, form, steps, calculated)
            try:
                out.rename(kept)
            except OSError:  # another process was sooner
                shutil.rmtree(out)
        return {file.name: file.read_bytes() for file in sorted(kept.iterdir())}

    def _save(
        self, data: bytes, out: Path, form: Form, steps: Sequence[Step], calculated: bool
    ) -> None:
        source = self.folder / "plan.xlsx"
        source.write_bytes(data)
        said = self._told(
            [
                ("open", source.as_uri(), CALCULATE[calculated]),
                *steps,
                ("save", (out / f"plan.{form.ending}").as_uri(), form.name, form.options),
                ("close",),
            ]
        )
        assert said in ("", NOT_OPENED), said

    def _told(self, steps: Sequence[Step]) -> str:
        """What it says after some steps: nothing when all went well."""
        told = self.folder / "told"
        for _ in range(TRIES):
            self._ask(steps)
            end, rung = time.monotonic() + SECONDS, False
            while time.monotonic() < end:
                if told.exists():
                    return told.read_text("utf-8")
                if self._process.poll() is not None:
                    self._process, rung = self._start(), False
                rung = rung or self._ring()
                time.sleep(0.01)
            self.close()  # no answer that comes late is taken for that of another question
        raise TimeoutError(f"LibreOffice has not answered {TRIES} times in {SECONDS} s: {steps}")

    def _ask(self, steps: Sequence[Step]) -> None:
        """Write down some steps, where no answer to others is left."""
        for name in ("told", "telling"):
            (self.folder / name).unlink(missing_ok=True)
        asking = self.folder / "asking"
        asking.write_text("\n".join("\t".join(map(str, step)) for step in steps), "utf-8")
        asking.rename(self.folder / "asked")

    def _ring(self) -> bool:
        """Wake it, if it waits to be woken."""
        try:
            os.close(os.open(self.bell, os.O_WRONLY | os.O_NONBLOCK))
        except OSError:
            return False
        return True

    def _start(self) -> subprocess.Popen[bytes]:
        assert PROGRAM is not None
        return subprocess.Popen(  # noqa: S603 - the program found above, on files of our own
            [
                PROGRAM,
                f"-env:UserInstallation={(self.folder / 'profile').as_uri()}",
                "--headless",
                "--norestore",
                f'macro:///Standard.Office.Main("{self.folder.as_uri()}","{self.bell}")',
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    def close(self) -> None:
        """End it by force with all its programs, of which the one started is only the first."""
        if self._process.poll() is None:
            os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait()
        self._ring()

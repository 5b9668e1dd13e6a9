"""Desktop notices: with no bus, with a real bus and a real service on it, and without the extra."""

from __future__ import annotations

import shutil
import subprocess
import sys

import pytest

from studio.alerts.ringer import NOT_INSTALLED, DesktopNotices

SERVICE = '''
"""A notification service that writes down what it is asked to show."""
import asyncio, sys
from dbus_fast.aio import MessageBus
from dbus_fast.service import ServiceInterface, dbus_method

class Notices(ServiceInterface):
    def __init__(self, log):
        super().__init__("org.freedesktop.Notifications")
        self.log, self.last = log, 0

    def _write(self, line):
        with open(self.log, "a") as file:
            file.write(line + "\\n")

    @dbus_method()
    def Notify(self, app: "s", replaces: "u", icon: "s", title: "s", body: "s", actions: "as",
               hints: "a{sv}", timeout: "i") -> "u":
        self.last += 1
        self._write(f"{app}|{title}|{body}|{hints['urgency'].value}")
        return self.last

    @dbus_method()
    def CloseNotification(self, number: "u"):
        self._write(f"closed {number}")

    @dbus_method()
    def GetCapabilities(self) -> "as":
        return ["body"]

    @dbus_method()
    def GetServerInformation(self) -> "ssss":
        return ["test", "test", "1", "1.2"]

async def main():
    bus = await MessageBus().connect()
    service = Notices(sys.argv[1])
    bus.export("/org/freedesktop/Notifications", service)
    await bus.request_name("org.freedesktop.Notifications")
    service._write("ready")
    await asyncio.sleep(60)

asyncio.run(main())
'''


@pytest.fixture
def no_bus(monkeypatch):
    pytest.importorskip("desktop_notifier")
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nonexistent/bus")


def test_without_a_bus_it_is_told_and_nothing_is_printed(no_bus, until, capfd) -> None:
    desktop = DesktopNotices({})
    assert desktop.told == "desktop notice, for urgent and unanswered alarms"
    desktop.send("Potside", "heat off", True)
    until(lambda: "failed" in desktop.told, "the failure")
    assert desktop.told == "desktop notice: failed, no notification service answers"
    desktop.clear()
    desktop.close()
    assert capfd.readouterr() == ("", "")


def test_a_real_service_shows_it_and_takes_it_away(tmp_path, monkeypatch, until, capfd) -> None:
    pytest.importorskip("desktop_notifier")
    if sys.platform != "linux" or shutil.which("dbus-daemon") is None:
        pytest.skip("needs a D-Bus daemon")
    daemon = subprocess.Popen(
        ["dbus-daemon", "--session", "--nofork", "--print-address"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    assert daemon.stdout is not None
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", daemon.stdout.readline().strip())
    log = tmp_path / "log"
    service = subprocess.Popen([sys.executable, "-c", SERVICE, str(log)])
    desktop = DesktopNotices({})

    def lines() -> list[str]:
        return log.read_text().splitlines() if log.exists() else []

    try:
        until(lambda: lines() == ["ready"], "the service")
        desktop.send("Potside", "heat off \x1b[31m", True)
        desktop.send("Potside", "stir", False)
        until(lambda: len(lines()) == 3 and "used" in desktop.told, "the notices")
        assert lines()[1:] == ["Potside|Potside|heat off \\x1b[31m|2", "Potside|Potside|stir|1"]
        assert desktop.told == "desktop notice: used"
        desktop.clear()
        until(lambda: len(lines()) == 5, "the notices being taken away")
        assert sorted(lines()[3:]) == ["closed 1", "closed 2"]
        service.kill()
        service.wait()
        desktop.send("Potside", "heat off", True)
        until(lambda: "failed" in desktop.told, "the failure")
    finally:
        desktop.close()
        for process in (service, daemon):
            process.kill()
            process.wait()
        daemon.stdout.close()
    assert capfd.readouterr() == ("", "")


def test_over_ssh_and_without_the_extra_it_stays_away_and_says_so(monkeypatch) -> None:
    far = DesktopNotices({"SSH_CONNECTION": "a b c d"})
    assert far.told == "desktop notice: not used, over ssh it would show on the other machine"
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    without = DesktopNotices({})
    assert without.told == NOT_INSTALLED
    for desktop in (far, without):
        desktop.send("Potside", "heat off", True)
        desktop.clear()
        desktop.close()


def test_the_library_is_loaded_at_first_use_only() -> None:
    code = (
        "import sys\n"
        "from studio.alerts.ringer import make_ringer\n"
        "from studio.alerts.awake import KeptAwake\n"
        "make_ringer(print, {}).channels(); KeptAwake({}).told\n"
        "print(sorted(sys.modules.keys() & {'desktop_notifier', 'wakepy', 'dbus_fast', 'textual', 'rich'}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"

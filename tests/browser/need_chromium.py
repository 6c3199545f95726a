"""See that Chromium is there for the browser tests; where this may install Debian's, do so and say so."""

import os
import platform
import shutil
import subprocess
import sys

INSTALL = (["apt-get", "update"], ["apt-get", "install", "-y", "--no-install-recommends", "chromium"])


def chromium() -> str | None:
    """Return where Chromium is: the path in KNOWNGOOD_CHROMIUM, else what the system calls chromium."""
    return os.environ.get("KNOWNGOOD_CHROMIUM") or shutil.which("chromium")


def may_install() -> bool:
    """Only as root, on Debian itself: elsewhere the package is another thing, or the machine is not ours."""
    if os.name != "posix" or os.geteuid() != 0 or not shutil.which("apt-get"):
        return False
    try:
        return platform.freedesktop_os_release().get("ID") == "debian"
    except OSError:
        return False


def main() -> int:
    """Return 0 when the browser tests can run."""
    if chromium():
        return 0
    if not may_install():
        print(
            "The browser tests need Chromium, and no program of that name was found. Install it "
            "(Debian: apt-get install chromium), or set KNOWNGOOD_CHROMIUM to where it is.",
            file=sys.stderr,
        )
        return 1
    print("Chromium is missing: installing Debian's package for the browser tests …", file=sys.stderr, flush=True)
    for command in INSTALL:
        done = subprocess.run(command, env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"}, check=False)
        if done.returncode:
            print(
                f"“{' '.join(command)}” did not succeed. Install Chromium by hand, then start again.", file=sys.stderr
            )
            return 1
    return 0 if chromium() else 1


if __name__ == "__main__":
    sys.exit(main())

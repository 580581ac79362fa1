# Sourced by demo and test: brings this machine and .venv to where the package runs, and says nothing
# when nothing is to do. Debian's packages are installed only where they are missing.

set -euo pipefail
root=$(cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.." && pwd -P)
venv=$root/.venv

say() { printf '%s\n' "$*" >&2; }
fail() { say "$0: $*"; exit 1; }

# Runs a chatty command in silence; shows what it said only where it failed.
quietly() {
    local log status=0
    log=$(mktemp)
    "$@" >"$log" 2>&1 </dev/null || status=$?
    [ "$status" -eq 0 ] || cat -- "$log" >&2
    rm -f -- "$log"
    return "$status"
}

as_root() {
    if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi
}

package_is_here() {
    [ "$(dpkg-query -W -f='${Status}' "$1" 2>/dev/null)" = "install ok installed" ]
}

# Installs the Debian packages that are missing, or says in one sentence what to install elsewhere, until the
# asking command (what=run or what=test) has been through once.
need_packages() {
    local missing=() package
    if ! command -v apt-get >/dev/null; then
        stamped test || { [ "$what" = run ] && stamped run; } ||
            say "This is no Debian: if something is missing below, install $1."
        return
    fi
    shift
    for package in "$@"; do package_is_here "$package" || missing+=("$package"); done
    [ "${#missing[@]}" -gt 0 ] || return 0
    if [ "$(id -u)" -ne 0 ] && ! command -v sudo >/dev/null; then
        say "Neither root nor sudo here: if something is missing below, have root install ${missing[*]}."
        return
    fi
    say "Installing ${missing[*]} ..."
    quietly as_root apt-get update -q &&
        quietly as_root env DEBIAN_FRONTEND=noninteractive \
            apt-get install -q -y --no-install-recommends "${missing[@]}" ||
        say "Could not install ${missing[*]}: going on without."
}

# Debian's python3 comes without the part that makes virtual environments; other Pythons have it.
venv_package() {
    python3 -c 'import ensurepip, venv' 2>/dev/null || echo python3-venv
}

check_python() {
    command -v python3 >/dev/null ||
        fail "python3 is missing: install Python 3.11 or newer (Debian: apt-get install python3)."
    python3 -c 'import sys; sys.exit(sys.version_info < (3, 11))' ||
        fail "$(python3 --version) is too old: install Python 3.11 or newer."
}

make_venv() {
    "$venv/bin/python" -m pip --version >/dev/null 2>&1 && return
    quietly python3 -m venv --clear "$venv" ||
        fail "python3 cannot make $venv (see above). Is the folder yours to write, is python3-venv (ensurepip) there?"
}

pip_install() {
    quietly "$venv/bin/python" -m pip install --quiet --disable-pip-version-check \
        --constraint build/constraints.txt "$@"
}

# Installs the package, editable, at the pinned versions, unless a stamp says that it is done; "test" holds
# "run". Without build isolation, so that the build backend is a pinned one too.
install_package() {
    local requirement=.
    make_venv
    ! stamped test || return 0
    if [ "$what" = test ]; then requirement='.[test]'; elif stamped run; then return 0; fi
    say "Installing the Python packages into $venv: some minutes, the first time ..."
    (cd -- "$root" && pip_install hatchling && pip_install --no-build-isolation --editable "$requirement") ||
        fail "the Python packages could not be installed (see above). The first time takes a network."
    wanted >"$venv/.fieldsheet-$what"
}

# What a stamp holds: where the checkout stands and what it asks for.
wanted() {
    printf '%s\n' "$root"
    cat -- "$root/pyproject.toml" "$root/build/constraints.txt"
}

stamped() {
    [ -f "$venv/.fieldsheet-$1" ] && [ "$(cat -- "$venv/.fieldsheet-$1")" = "$(wanted)" ]
}

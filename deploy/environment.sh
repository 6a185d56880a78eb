# shellcheck shell=sh
# Read by deploy/serve and tests/run. Defines make_environment, does nothing by itself.

# find_python: sets `python` to a Python that can make the environment, or says what is missing. It takes the newest
# of those that the tests pass on, then whatever is called python3, then newer ones.
find_python() {
    without_venv=
    for candidate in ${PYTHON:-python3.13 python3.12 python3.11 python3 python3.14 python}; do
        command -v "$candidate" >/dev/null 2>&1 || continue
        reason=0
        "$candidate" - >/dev/null 2>&1 <<'PROBE' || reason=$?
import sys
if sys.version_info < (3, 11):
    sys.exit(3)
try:
    import ensurepip, ssl, venv
except ImportError:
    sys.exit(4)
PROBE
        case $reason in
            0) python=$candidate; return 0 ;;
            4) without_venv=${without_venv:-$candidate} ;;
        esac
    done
    if [ -n "$without_venv" ]; then
        version=$("$without_venv" -c 'import sys; print("%d.%d" % sys.version_info[:2])')
        echo "Python $version is here, but not its venv module, which makes the environment." >&2
        echo "On Debian or Ubuntu: apt-get install python$version-venv" >&2
    elif [ -n "${PYTHON:-}" ]; then
        echo "PYTHON names '$PYTHON', which is no Python 3.11 or newer that runs." >&2
    else
        echo "Scaldloaf needs Python 3.11 or newer, and found none on the PATH." >&2
        echo "On Debian or Ubuntu: apt-get install python3 python3-venv" >&2
        echo "If it lies elsewhere, name it: PYTHON=/opt/python/bin/python3.12 $0" >&2
    fi
    return 1
}

# make_environment ROOT REQUIREMENTS: .venv under ROOT holds what REQUIREMENTS pins.
make_environment() {
    find_python || exit 1
    "$python" "$1/deploy/environment.py" "$2" || exit $?
}

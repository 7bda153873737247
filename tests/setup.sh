# Set-up shared by tests/run.sh and python/demo.sh, which source it from the project's top folder.
# System packages come by apt (as root; otherwise the command to run is printed), Python packages into .venv, one release
# build into build/release. Everything is kept: a second run only does what has changed.
# shellcheck shell=sh

stage_name='set-up'
stage_times=''
trap 'code=$?; [ "$code" = 0 ] || echo "FAILED: $stage_name (exit $code)" >&2' EXIT

# stage NAME COMMAND...: runs the command; the first that fails ends the run; prints the time taken.
stage() {
    stage_name=$1
    shift
    stage_start=$(date +%s)
    echo "== $stage_name"
    "$@"
    stage_seconds=$(($(date +%s) - stage_start))
    echo "== $stage_name: $stage_seconds s"
    stage_times="$stage_times$(printf '%5d s  %s' "$stage_seconds" "$stage_name")
"
}

# need PACKAGE TEST...: notes the package as missing where the test fails.
need() {
    package=$1
    shift
    "$@" >/dev/null 2>&1 || missing="$missing $package"
}

need_compiler_and_python() {
    missing=''
    need g++ command -v g++
    need python3 command -v python3
    need python3-venv python3 -c 'import ensurepip, venv'
    need python3-dev python3 -c 'import os, sysconfig; os.stat(sysconfig.get_path("include") + "/Python.h")'
}

install_missing() {
    [ -n "$missing" ] || return 0
    command -v apt-get >/dev/null || { echo "Please install what these Debian packages hold:$missing" >&2; return 1; }
    if [ "$(id -u)" != 0 ]; then
        echo "Some system packages are missing. Run this once, then start again:" >&2
        echo "  sudo apt-get update && sudo apt-get install -y --no-install-recommends$missing" >&2
        return 1
    fi
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -qq
    # shellcheck disable=SC2086  # a list of names
    apt-get install -y -qq --no-install-recommends $missing >build/apt.log 2>&1 || { tail -n 20 build/apt.log; return 1; }
}

# make_venv GROUP...: .venv with what the package needs to be built and run, and the named dependency groups.
make_venv() {
    wanted="$(cksum pyproject.toml) $(python3 -V) $*"
    if [ "$(cat .venv/made-for 2>/dev/null)" != "$wanted" ]; then
        python3 -c 'import sys; sys.exit(sys.version_info < (3, 10) and "Python 3.10 or newer is needed")'
        [ -x .venv/bin/python ] || python3 -m venv .venv
        .venv/bin/python -m pip install -q --upgrade pip uv
        .venv/bin/python - "$@" >build/requirements.txt <<'PYTHON'
import sys
try:
    import tomllib
except ModuleNotFoundError:  # Python 3.10
    from pip._vendor import tomli as tomllib
with open("pyproject.toml", "rb") as file:
    project = tomllib.load(file)
wanted = project["build-system"]["requires"] + project["project"]["dependencies"]
for group in sys.argv[1:]:
    wanted += project["dependency-groups"][group]
print("\n".join(wanted))
PYTHON
        command -v cmake >/dev/null || echo 'cmake>=3.25' >>build/requirements.txt
        command -v ninja >/dev/null || echo 'ninja>=1.5' >>build/requirements.txt
        # uv fetches side by side what pip fetches in turn; pip where uv has its own idea of mirror or certificates
        [ -z "${PIP_INDEX_URL:-}" ] || export UV_DEFAULT_INDEX="$PIP_INDEX_URL"
        .venv/bin/uv pip install -q --python .venv/bin/python -r build/requirements.txt ||
            .venv/bin/python -m pip install -q -r build/requirements.txt
        echo "$wanted" >.venv/made-for
    fi
    PATH="$PWD/.venv/bin:$PATH"
    export PATH
}

# install_package [CMAKE_OPTION=VALUE...]: the release build, installed into .venv.
install_package() {
    if command -v ccache >/dev/null; then set -- "$@" CMAKE_CXX_COMPILER_LAUNCHER=ccache; fi
    for define in "$@"; do
        set -- "$@" "-Ccmake.define.$define"
        shift
    done
    python -m pip install -q --no-build-isolation --no-deps --force-reinstall -Cbuild-dir=build/release "$@" .
}

mkdir -p build

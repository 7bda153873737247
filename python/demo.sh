#!/bin/sh
# Sets up what is missing and runs the main job on the demonstration cart. Usage: sh python/demo.sh [FOLDER]
# The result is left in foldswing-demo/ (or FOLDER): job sheet, results, full-size templates.
set -eu
cd "$(dirname "$0")/.."
. tests/setup.sh

out=${1:-foldswing-demo}
system_packages() {
    need_compiler_and_python
    install_missing
}

stage 'system packages' system_packages
stage 'Python packages' make_venv
stage 'build and install' install_package
stage 'demo job' foldswing demo --out "$out"
find "$out" -type f | sort

#!/bin/sh
# Sets up what is missing, builds, and runs every test. Usage: sh tests/run.sh [--full] [--lint]
#   --full  the full numbers of random cases instead of a fixed slice, and an install with header wheels only
#   --lint  the checks of style and types instead of the tests
# Two builds only: the release build that pip and ctest share, and one by clang with sanitizers for the C++ tests and fuzzers.
set -eu
cd "$(dirname "$0")/.."
. tests/setup.sh

full=''
lint=''
for option in "$@"; do
    case $option in
        --full) full=1 ;;
        --lint) lint=1 ;;
        *) echo "usage: sh tests/run.sh [--full] [--lint]" >&2; exit 2 ;;
    esac
done
jobs=$(nproc)
export PYTHONDONTWRITEBYTECODE=1
[ -z "$full" ] || export FOLDSWING_FULL=1

system_packages() {
    need_compiler_and_python
    need cmake command -v cmake
    need ninja-build command -v ninja
    need ccache command -v ccache
    need catch2 ls /usr/include/catch2
    need libeigen3-dev ls /usr/include/eigen3
    need libboost-dev ls /usr/include/boost/geometry.hpp
    need poppler-utils command -v pdftoppm
    need chromium command -v chromium
    need clang command -v clang++
    if ! ls /usr/lib/llvm-*/lib/clang/*/lib/linux/libclang_rt.fuzzer-*.a >/dev/null 2>&1; then
        clang=$(apt-cache depends clang 2>/dev/null | sed -n 's/.*Depends: clang-\([0-9]*\)$/\1/p')
        missing="$missing libclang-rt-${clang:-14}-dev"
    fi
    [ -z "$lint" ] || need clang-tidy command -v clang-tidy
    install_missing
}

release_build() { install_package FOLDSWING_TESTS=ON FOLDSWING_WERROR=ON CMAKE_EXPORT_COMPILE_COMMANDS=ON; }

sanitizer_build() {
    cmake -S . -B build/sanitize -G Ninja -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_BUILD_TYPE=Debug \
        -DCMAKE_CXX_FLAGS_DEBUG='-O1 -gline-tables-only' -DCMAKE_CXX_COMPILER_LAUNCHER=ccache -DFOLDSWING_TESTS=ON -DFOLDSWING_FUZZERS=ON -DFOLDSWING_SANITIZE=ON \
        -DFOLDSWING_WERROR=ON >build/sanitize.log || { cat build/sanitize.log; return 1; }
    cmake --build build/sanitize >build/sanitize.log || { tail -n 50 build/sanitize.log; return 1; }
}

# cpp_tests BUILD: says what failed, or how many passed.
cpp_tests() {
    ctest --test-dir "build/$1" -j "$jobs" --no-tests=error --output-on-failure -O "build/ctest-$1.log" >/dev/null 2>&1 ||
        { cat "build/ctest-$1.log"; return 1; }
    tail -n 3 "build/ctest-$1.log"
}

# A C++ user's project against an install tree, in which neither Eigen, Boost nor Python can be found.
consumer() {
    rm -rf build/prefix build/consumer
    cmake --install build/release --prefix build/prefix --component cpp >/dev/null
    if grep -rnIiE 'eigen|boost|python' build/prefix; then
        echo "the installed C++ library speaks of Eigen, Boost or Python" >&2
        return 1
    fi
    cmake -S tests/consumer -B build/consumer -G Ninja -DCMAKE_PREFIX_PATH="$PWD/build/prefix" \
        -DCMAKE_IGNORE_PATH=/usr/share/eigen3/cmake >/dev/null
    cmake --build build/consumer >/dev/null
    build/consumer/consumer
}

# The job reader has half a minute; so has the geometry twice over, shared out among its topics. In full: each topic has it.
fuzzers() {
    seconds=$([ -n "$full" ] && echo 30 || echo 6)
    rm -rf build/fuzz
    mkdir -p build/fuzz
    {
        for target in tests/fuzz/fuzz_*.cpp; do
            name=$(basename "$target" .cpp)
            mkdir -p "build/fuzz/$name"
            echo "build/sanitize/tests/fuzz/$name -max_total_time=$seconds -timeout=10 -seed=1 -print_final_stats=1" \
                "-max_len=512 -artifact_prefix=build/fuzz/$name- build/fuzz/$name >build/fuzz/$name.log 2>&1" \
                "|| { tail -n 40 build/fuzz/$name.log; exit 1; }; grep executed_units build/fuzz/$name.log | sed 's/^/$name /'"
        done
        for target in tests/fuzz/fuzz_*.py; do
            [ ! -e "$target" ] || echo "python $target --seconds 30"
        done
    } | tr '\n' '\0' | xargs -0 -n 1 -P "$jobs" sh -c
}

python_tests() {
    # the exit code is kept beside the log: a pipe would hide it
    { rc=0; python -m pytest -n "$jobs" --dist worksteal tests/python || rc=$?; echo "$rc" >build/pytest.rc; } 2>&1 | tee build/pytest.log
    return "$(cat build/pytest.rc)"
}

# pip install as a user does it, build isolation and all, with the system's Eigen and Boost out of sight.
header_wheels() {
    rm -rf build/fresh build/fresh-build
    python3 -m venv build/fresh
    # in full words: Debian 12's pip has no -C
    build/fresh/bin/python -m pip install -q --config-settings=build-dir=build/fresh-build \
        '--config-settings=cmake.define.CMAKE_IGNORE_PATH=/usr/share/eigen3/cmake;/usr/include' .
    grep -q '^FOLDSWING_BOOST_INCLUDE_DIR:PATH=.*/boost_headers/' build/fresh-build/CMakeCache.txt
    grep -q '^Eigen3_DIR:PATH=.*/cmeel.prefix/' build/fresh-build/CMakeCache.txt
    (cd / && "$OLDPWD/build/fresh/bin/foldswing" --help >/dev/null)
}

stubs() { python -m mypy.stubtest foldswing._core; }

cpp_files() { find cpp bindings tests -name '*.[ch]pp' | sort; }

# Configured for clang, without the precompiled headers that only their own compiler can read; never built.
tidy() {
    cmake -S . -B build/tidy -G Ninja -DCMAKE_CXX_COMPILER=clang++ -DFOLDSWING_BINDINGS=ON -DCMAKE_EXPORT_COMPILE_COMMANDS=ON \
        -DCMAKE_DISABLE_PRECOMPILE_HEADERS=ON -DCMAKE_PREFIX_PATH="$(python -m pybind11 --cmakedir)" \
        -DPython_EXECUTABLE="$PWD/.venv/bin/python" >build/tidy.log || { cat build/tidy.log; return 1; }
    find cpp/src bindings -name '*.cpp' | sort | xargs -n 1 -P "$jobs" clang-tidy --quiet -p build/tidy
}

stage 'system packages' system_packages
stage 'Python packages' make_venv test lint
stage 'release build, pip install' release_build

if [ -n "$lint" ]; then
    # shellcheck disable=SC2046  # names without spaces
    stage 'clang-format' clang-format --dry-run -Werror $(cpp_files)
    stage 'ruff' ruff check .
    stage 'ruff format' ruff format --check .
    stage 'mypy' mypy
    stage 'stubtest' stubs
    stage 'clang-tidy' tidy
    printf '%s' "$stage_times"
    echo 'lint: clean'
    exit 0
fi

stage 'C++ tests' cpp_tests release
stage 'C++ consumer' consumer
stage 'sanitizer build' sanitizer_build
stage 'C++ tests, sanitized' cpp_tests sanitize
stage 'fuzzers' fuzzers
stage 'stubs' stubs
if [ -n "$full" ]; then stage 'install with header wheels only' header_wheels; fi
stage 'Python tests' python_tests

echo '== times'
printf '%s' "$stage_times"
echo '== counts'
echo "ctest:           $(grep 'tests passed' build/ctest-release.log)"
echo "ctest sanitized: $(grep 'tests passed' build/ctest-sanitize.log)"
echo "pytest:          $(tail -n 1 build/pytest.log)"

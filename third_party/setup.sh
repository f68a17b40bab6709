#!/bin/sh
# sh third_party/setup.sh run|test|install   From any folder, as often as you like.
#   run      installs what is missing, builds the program, opens the viewer on the demo plan;
#            without a display prints the demo ladder and writes its pictures
#   test     installs what is missing, builds everything, runs all tests
#   install  installs the packages only
# Nothing is asked of the network when every package is there already.
set -eu

HERE=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
PROJECT=$(dirname -- "$HERE")

PROGRAM_PACKAGES="g++ cmake ninja-build pkg-config python3 python3-glad ccache
  libglfw3-dev libglm-dev libimgui-dev libstb-dev libfreetype-dev libcairo2-dev libpng-dev libfmt-dev libeigen3-dev
  nlohmann-json3-dev libcli11-dev libsqlite3-dev libgl-dev libopengl-dev libegl-dev libegl1 libgl1-mesa-dri
  fonts-inter fonts-dejavu-core"
# For the viewer in the page on a phone; the program itself is built without.
PAGE_PACKAGES="emscripten fonttools python3-brotli"
TEST_PACKAGES="doctest-dev libboost-dev libgsl-dev libsimbody-dev libbullet-dev libbenchmark-dev python3-jsonschema
  strace poppler-utils qpdf libxml2-utils librsvg2-bin ffmpeg chromium libjs-three
  xvfb xauth xdotool imagemagick x11-xserver-utils x11-utils clang-format clang-tidy"

missing() {
  for package in "$@"; do
    status=$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)
    [ "$status" = installed ] || printf '%s ' "$package"
  done
}

as_root() {
  if [ "$(id -u)" = 0 ]; then
    "$@"
  elif command -v sudo >/dev/null 2>&1; then
    sudo "$@"
  else
    echo "setup.sh: packages are missing; run once as root: sh $HERE/setup.sh install" >&2
    exit 2
  fi
}

install_packages() {
  # shellcheck disable=SC2086
  wanted=$(missing "$@")
  [ -n "$wanted" ] || return 0
  if ! command -v apt-get >/dev/null 2>&1; then
    echo "setup.sh: this system has no apt-get. Install what third_party/README.md lists, then use cmake as DEVELOPERS.md says." >&2
    exit 2
  fi
  echo "setup.sh: installing $wanted"
  as_root env DEBIAN_FRONTEND=noninteractive apt-get update -q
  # shellcheck disable=SC2086
  as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $wanted
}

build() {
  cd "$PROJECT"
  cmake --preset "$1"
  cmake --build --preset "$1"
}

run() {
  # shellcheck disable=SC2086
  install_packages $PROGRAM_PACKAGES
  build run
  HALFTURN=$PROJECT/.build/run/bin/halfturn
  if [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
    "$HALFTURN" && return 0
    echo "setup.sh: the viewer could not open; here is the demo ladder instead." >&2
  fi
  demo=$PROJECT/.build/demo
  mkdir -p "$demo"
  "$HALFTURN" ladder --demo -o "$demo/demo_plan.json"
  for rung in 0 1 2 3 4; do
    "$HALFTURN" draw "$demo/demo_plan.json" --rung "$rung" --time 0.5 --camera side --size 1440x900 -o "$demo/rung-$rung.png"
  done
  "$HALFTURN" draw "$demo/demo_plan.json" --rung 2 --time 0.5 --camera above --size 1440x900 -o "$demo/above.png"
  echo
  echo "There is no display here, so the demo was drawn instead of shown. Its plan and pictures are in $demo:"
  ls "$demo"
}

test_all() {
  # shellcheck disable=SC2086
  install_packages $PROGRAM_PACKAGES $PAGE_PACKAGES $TEST_PACKAGES
  build release
  ctest --preset release -j "$(nproc)"
}

case "${1:-}" in
  run) run ;;
  test) test_all ;;
  install)
    # shellcheck disable=SC2086
    install_packages $PROGRAM_PACKAGES $PAGE_PACKAGES $TEST_PACKAGES
    ;;
  *)
    echo "usage: sh $0 run|test|install" >&2
    exit 2
    ;;
esac

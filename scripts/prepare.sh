# prepare.sh — sourced by the other scripts: what is missing is installed, and Release is built once.
# Defines: root (the project's folder), build (the build folder), and the functions need_packages and build_target.

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${ETCHCAST_BUILD:-$root/build}

packages="g++ cmake ninja-build libeigen3-dev libfmt-dev libtomlplusplus-dev libcli11-dev libstb-dev libpugixml-dev libisal-dev libexif-dev fonts-lato fonts-dejavu-core catch2"

missing_packages() {
  for package in $packages; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q '^install ok installed' || echo "$package"
  done
}

need_packages() {
  if ! command -v dpkg-query >/dev/null; then
    for tool in g++ cmake; do
      command -v $tool >/dev/null || {
        echo "etchcast: no $tool here, and this is not Debian or Ubuntu. Install a C++20 compiler with OpenMP, CMake 3.18," >&2
        echo "Eigen 3.4, fmt 9, toml++ 3.3, CLI11 2.1, stb, pugixml, ISA-L, libexif, Catch2 (2.13 or 3) and the typefaces Lato and DejaVu Sans." >&2
        exit 2
      }
    done
    return
  fi
  local missing
  missing=$(missing_packages | tr '\n' ' ')
  [ -z "${missing// /}" ] && return
  echo "etchcast: installing $missing" >&2
  local as_root=""
  if [ "$(id -u)" != 0 ]; then
    command -v sudo >/dev/null || { echo "etchcast: as root, run: apt-get install $missing" >&2; exit 2; }
    as_root=sudo
  fi
  # One retry after refreshing the lists: on a fresh machine they are empty or old.
  $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $missing >/dev/null 2>&1 || {
    $as_root apt-get update -qq >&2 &&
      $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $missing >&2
  } || { echo "etchcast: could not install $missing" >&2; exit 2; }
}

# build_target TARGET [cmake options]: quiet when there is nothing to do, else one line and, on failure, the whole log.
build_target() {
  local target=$1
  shift
  if [ ! -f "$build/CMakeCache.txt" ]; then
    need_packages
    mkdir -p "$build"
    local generator=""
    command -v ninja >/dev/null && generator="-G Ninja"
    echo "etchcast: building once, two to three minutes" >&2
    cmake -S "$root" -B "$build" $generator -DCMAKE_BUILD_TYPE=Release ${ETCHCAST_CMAKE:-} "$@" >"$build/configure.log" 2>&1 || {
      cat "$build/configure.log" >&2
      rm -f "$build/CMakeCache.txt"
      exit 2
    }
  fi
  cmake --build "$build" --target "$target" --parallel >"$build/build.log" 2>&1 || { cat "$build/build.log" >&2; exit 2; }
}

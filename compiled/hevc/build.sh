#!/bin/sh
# Builds hevc.wasm from libde265's source, and planes.wasm (see README.md): compiled/hevc/build.sh FOLDER_OF_LIBDE265 [OUT]
# Needs emscripten 3.1.6 (Debian 12: apt-get install emscripten node-acorn) and patch.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
out=${2:-$here}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp -r "$1" "$work/source"
cd "$work/source"
patch --quiet -p1 < "$here/faster-bins.patch"
mkdir "$work/made" "$work/made/libde265"
printf '#define HAVE_MALLOC_H 1\n#define HAVE_POSIX_MEMALIGN 1\n#define HAVE_SSE4_1 1\n' > "$work/made/config.h"
sed 's/@NUMERIC_VERSION@/0x01010300/; s/@PACKAGE_VERSION@/1.1.3/' libde265/de265-version.h.in \
  > "$work/made/libde265/de265-version.h"
flags="-O3 -std=c++17 -msimd128 -msse4.1 -fno-exceptions -fno-rtti -w -DNDEBUG -DHAVE_CONFIG_H
  -I$work/made -I$work/source -I$work/source/libde265"
for file in libde265/*.cc libde265/x86/sse*.cc "$here/picture.cc"; do
  # pictures for looking into the decoder, and files of the command line
  case $file in */visualize.cc | */quality.cc | */image-io.cc) continue ;; esac
  emcc $flags -c "$file" -o "$work/$(basename "$file" .cc).o"
done
link="--no-entry -sSTANDALONE_WASM -sFILESYSTEM=0 -sMALLOC=emmalloc -sALLOW_MEMORY_GROWTH -sMAXIMUM_MEMORY=2GB"
emcc $flags "$work"/*.o -o "$out/hevc.wasm" $link
emcc $flags "$here/planes.cc" -o "$out/planes.wasm" $link
chmod 644 "$out/hevc.wasm" "$out/planes.wasm"

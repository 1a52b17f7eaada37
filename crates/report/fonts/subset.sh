#!/usr/bin/env bash
# Makes the bundled fonts from Debian's fonts-noto-core and fonts-noto-mono (Noto, SIL OFL 1.1).
# Text: Latin, Latin-1, Latin Extended-A, Greek, punctuation, super- and subscripts.
# Noto Sans has neither arrows nor a minus sign, so a few signs of Noto Sans Math stand beside it.
# Needs Python with fonttools and brotli. Run it in this folder.
set -euo pipefail
source="${1:-/usr/share/fonts/truetype/noto}"
text="U+0020-007E,U+00A0-017F,U+0370-03FF,U+2010-2026,U+2030-2033,U+2039-203A,U+2044,U+2070-209F,U+20AC,U+2103,U+2126,U+212B"
signs="U+2190-2195,U+2202,U+2205,U+2206,U+2211-2213,U+221A,U+221E,U+2220,U+222B,U+2248,U+2260,U+2264,U+2265,U+22C5"
subset() {
  for flavor in ttf woff2; do
    extra=(); [ "$flavor" = woff2 ] && extra=(--flavor=woff2)
    pyftsubset "$source/$1.ttf" --unicodes="$2" --output-file="$1.$flavor" --no-hinting \
      --layout-features=kern,mark,mkmk,ccmp,tnum,lnum --name-IDs=0,1,2,3,4,5,6,13,14 "${extra[@]}"
  done
}
subset NotoSans-Regular "$text"
subset NotoSans-Bold "$text"
subset NotoSansMono-Regular "$text,$signs"
subset NotoSansMath-Regular "$signs"

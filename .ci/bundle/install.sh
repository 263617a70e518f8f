#!/bin/sh
# Installs this folder for you: sh install.sh. It comes to ~/.local/opt/pegwright, the commands to ~/.local/bin, and the
# program into your menu. sh install.sh --remove takes all of it away again; builds and settings stay.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
home=${XDG_DATA_HOME:-$HOME/.local/share}
place=$HOME/.local/opt/pegwright
commands=$HOME/.local/bin

if [ "${1-}" = --remove ]; then
    [ -x "$place/pegwright" ] && "$place/pegwright" desktop --remove
    for name in pegwright pegwright-window; do
        case "$(readlink "$commands/$name" || true)" in "$place"/*) rm -f "$commands/$name" ;; esac
    done
    rm -rf "$place"
    echo "Pegwright is removed; builds and settings are where they were."
    exit 0
fi

mkdir -p "$(dirname "$place")" "$commands" "$home"
# Beside the old one first, so that a full disk leaves that as it was.
rm -rf "$place.new"
cp -a "$here" "$place.new"
rm -rf "$place"
mv "$place.new" "$place"
for name in pegwright pegwright-window; do
    if [ -e "$commands/$name" ] && [ ! -L "$commands/$name" ]; then
        echo "$commands/$name is another program's and stays; call $place/$name." >&2
        continue
    fi
    ln -sf "$place/$name" "$commands/$name"
done
QT_QPA_PLATFORM=offscreen "$place/pegwright" desktop --add >/dev/null
echo "Pegwright is in your menu; in a terminal: $commands/pegwright"

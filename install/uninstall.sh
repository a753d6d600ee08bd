#!/bin/sh
# Takes the program off this machine again. Every record, the bench file and /etc/bench stay; the last line says where.
#
#   sudo install/uninstall.sh [--root DIR]
set -eu

root=''
if [ $# -gt 0 ]; then
    if [ "$1" != --root ] || [ $# -ne 2 ]; then
        echo "The only option is --root DIR." >&2
        exit 2
    fi
    root=${2%/}
fi
if [ -z "$root" ] && [ "$(id -u)" != 0 ]; then
    echo "Run it with sudo, or on a folder with --root DIR." >&2
    exit 2
fi

if [ -z "$root" ]; then
    systemctl disable --now bench.service || true # it may never have been started
fi
rm -rf "$root/opt/bench" "$root/opt/bench.new" "$root/opt/bench.old"
rm -f "$root/etc/udev/rules.d/65-bench.rules" "$root/etc/systemd/system/bench.service" \
    "$root/etc/systemd/journald@bench.conf" "$root/usr/local/bin/benchapp"
if [ -z "$root" ]; then
    systemctl daemon-reload
    [ ! -S /run/udev/control ] || udevadm control --reload
fi
echo "Taken off. What stays: $root/etc/bench, and the records of each user in ~/.local/share/benchapp."

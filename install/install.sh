#!/bin/sh
# Installs the program for good on Raspberry Pi OS or Debian: its own Python environment below /opt, the screen from
# power-on, rights for scales and adapters, bounded logs. Run it again to bring everything up to date: what is in
# /etc/bench, and every record, stays as it is.
#
#   sudo install/install.sh --maker "Mara Lind" [--bench FILE] [--user NAME] [--wheel FILE] [--root DIR]
#
# --user   whose records they are and who may open the devices; whoever called sudo if left out
# --bench  the bench file; bench.toml beside the user's records if left out, where "Find devices" begins it
# --wheel  the program as a wheel; this checkout if left out
# --root   put everything below that folder and change nothing of this machine
set -eu
umask 022 # the screen runs as another user than this script, and sudo keeps a stricter one

here=$(cd "$(dirname "$0")" && pwd)
root='' user=${SUDO_USER:-} maker='' bench='' wheel=$(dirname "$here")

fail() {
    echo "$1" >&2
    exit 2
}

while [ $# -gt 0 ]; do
    [ $# -ge 2 ] || fail "$1 wants a word after it."
    case $1 in
        --root) root=${2%/} ;;
        --user) user=$2 ;;
        --maker) maker=$2 ;;
        --bench) bench=$2 ;;
        --wheel) wheel=$2 ;;
        *) fail "There is no option $1. Use --maker, --bench, --user, --wheel or --root." ;;
    esac
    shift 2
done

[ -n "$user" ] || fail "Say whose records they are: --user NAME."
[ -n "$maker" ] || fail "Say who makes, as the record shall name them: --maker \"NAME\"."
home=$(getent passwd "$user" | cut -d: -f6) || home=''
[ -n "$bench" ] || bench=${home:-/home/$user}/.local/share/benchapp/bench.toml
case $bench in
    /*) ;;
    *) bench=$PWD/$bench ;; # the screen is started elsewhere
esac
case $user$maker$bench in
    *'"'* | *"\\"* | *'
'* | *'|'* | *'&'*) fail "Names and paths may not have a quotation mark, a backslash, a bar, an ampersand or a line end." ;;
esac
[ -n "$root" ] || [ "$(id -u)" = 0 ] || fail "Run it with sudo, or into a folder with --root DIR."
[ -n "$root" ] || id "$user" >/dev/null 2>&1 || fail "There is no user $user on this machine."

# One file: filled in, then moved into its place, with its rights.
put() {
    mkdir -p "$(dirname "$root$2")"
    sed -e "s|@USER@|$user|g" -e "s|@MAKER@|$maker|g" -e "s|@BENCH@|$bench|g" "$here/$1" >"$root$2.new"
    chmod "$3" "$root$2.new"
    mv "$root$2.new" "$root$2"
}

if [ -z "$root" ] && command -v apt-get >/dev/null; then
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends python3-venv libegl1 libgl1 libgles2 libgbm1 libmtdev1 udev
fi

# Whatever fails from here on, a screen that was stopped for it is started again.
copy='' running=no
at_end() {
    [ -z "$copy" ] || rm -rf "$copy"
    [ "$running" = no ] || systemctl start bench.service
}
trap at_end EXIT

# The new environment is made beside the old one and takes its place when it is whole.
mkdir -p "$root/opt"
rm -rf "$root/opt/bench.new"
python3 -m venv "$root/opt/bench.new"
if [ -d "$wheel" ]; then
    # Built from a copy: what an earlier build left in the checkout would be packed again, and this one leaves nothing there.
    copy=$(mktemp -d)
    (cd "$wheel" && tar -cf - --exclude=./build --exclude=./.git --exclude=./.venv .) | tar -xf - -C "$copy"
    wheel=$copy
fi
"$root/opt/bench.new/bin/python" -m pip install --quiet --disable-pip-version-check "$wheel"
for script in "$root"/opt/bench.new/bin/*; do
    [ -L "$script" ] || [ ! -f "$script" ] || sed -i "1s|^#!.*/bench\.new/bin/|#!/opt/bench/bin/|" "$script"
done
# A make that runs is taken up again by the new program: it must not load half of itself from each.
if [ -z "$root" ] && systemctl is-active --quiet bench.service; then
    running=yes
    systemctl stop bench.service
fi
rm -rf "$root/opt/bench.old"
[ ! -d "$root/opt/bench" ] || mv "$root/opt/bench" "$root/opt/bench.old"
mv "$root/opt/bench.new" "$root/opt/bench"
rm -rf "$root/opt/bench.old"

put is-scale /opt/bench/lib/is-scale 755
put start-screen /opt/bench/lib/start-screen 755
put 65-bench.rules /etc/udev/rules.d/65-bench.rules 644
put bench.service /etc/systemd/system/bench.service 644
put journald@bench.conf /etc/systemd/journald@bench.conf 644
if [ -f "$root/etc/bench/screen.conf" ]; then
    grep -qxF -e "MAKER=\"$maker\"" "$root/etc/bench/screen.conf" && grep -qxF -e "BENCH=\"$bench\"" "$root/etc/bench/screen.conf" ||
        echo "Maker and bench file stay as /etc/bench/screen.conf says; change them there."
else
    put screen.conf /etc/bench/screen.conf 644
fi
mkdir -p "$root/usr/local/bin"
ln -sfn /opt/bench/bin/benchapp "$root/usr/local/bin/benchapp"

if [ -n "$root" ]; then
    echo "Everything stands below $root; this machine was not changed."
    exit 0
fi

for group in dialout video render input plugdev; do
    ! getent group "$group" >/dev/null || usermod -a -G "$group" "$user"
done
if [ -S /run/udev/control ]; then # none in a container
    udevadm control --reload
    udevadm trigger --subsystem-match=tty --subsystem-match=hidraw
fi
systemctl daemon-reload
systemctl set-default multi-user.target
systemctl enable bench.service
echo "Installed. Start the screen: sudo systemctl start bench; it starts by itself from now on. Its devices: Settings, Find devices."

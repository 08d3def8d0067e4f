#!/usr/bin/env bash
# Checks the releases of a repository with nothing but git, ssh-keygen, sha256sum and text tools: the statements as they stand
# in the last commit, and that no commit on the way to it took back what is written once. The program that made them is not asked.
#
#   verify.sh REPOSITORY [REVISION] [DIGEST-OF-THE-FIRST-ROOT]
#
# It prints a line for each fault and ends with 0 (none), 1 (faults) or 3 (something is missing: nothing is decided).
#
# What it does not check, and the program does:
# - that a statement or a signature file is in its only spelling (form, order, hidden characters, junk after the last line);
# - that an approval was not taken back, that nobody refused, and that a statement stood before the record that names it;
# - that a revision is the next one, made from the last one, and that `current:` is the digest of what is current;
# - what is kept apart by `separation:`, ids and keys that change hands from root to root, worthless keys;
# - that the roster says what the people, keys and roles of its root say (holders signed both);
# - what a stolen key has touched, and what is in force on a day;
# - whether the copy ends early (`ledger` ends where it ends: compare its last line with what others have seen).
set -uo pipefail
export LC_ALL=C GIT_NO_REPLACE_OBJECTS=1
repository=${1:?the repository is wanted}
revision=${2:-HEAD}
pinned=${3:-}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
faults=0
missing=0

fault() { echo "FAULT $*"; faults=$((faults + 1)); }
lacks() { echo "MISSING $*"; missing=$((missing + 1)); }
show() { git -C "$repository" cat-file blob "$revision:$1" 2>/dev/null; }
has() { git -C "$repository" cat-file -e "$revision:$1" 2>/dev/null; }
names() { git -C "$repository" ls-tree --name-only "$revision" -- "$1" 2>/dev/null; }
sum() { show "$1" | sha256sum | cut -d' ' -f1; }
# The value of a key, in the lines above the blocks.
value() { sed -n "/^[a-z-]*:\$/q; s/^$2: //p" "$1"; }
# The entries of a block.
block() { awk -v head="$2:" '$0 == head { on = 1; next } /^[a-z-]+:$/ { on = 0 } on' "$1"; }

# verify FILE SIGNATURE ROSTER PERSON NAMESPACE: all but the first are paths in the working folder.
verify() {
    ssh-keygen -Y verify -f "$work/$3" -I "$4@plant" -n "$5" -s "$work/$2" < "$work/$1" >/dev/null 2>&1
}

# Takes in root number $1, held against the root before it.
root() {
    local next=$1 before=$(($1 - 1)) path="trust/$1.root" holder by_old=0 by_new=0 file
    has "$path" || { lacks "$path"; return 1; }
    has "trust/$next.allowed_signers" || { lacks "trust/$next.allowed_signers"; return 1; }
    show "$path" > "$work/$next.root"
    show "trust/$next.allowed_signers" > "$work/$next.roster"
    [ "$(value "$work/$next.root" number)" = "$next" ] || fault "$path: another number"
    [ "$(value "$work/$next.root" allowed-signers)" = "$(sum "trust/$next.allowed_signers")" ] ||
        fault "trust/$next.allowed_signers: not the roster of the root"
    if [ "$next" -gt 1 ]; then
        [ "$(value "$work/$next.root" previous)" = "$(sum "trust/$before.root")" ] || fault "$path: follows another root"
        [ "$(value "$work/$next.root" repository)" = "$id" ] || fault "$path: another repository"
    fi
    for file in $(names trust/ | grep "^trust/$next\.root\..*\.sig\$"); do
        holder=${file#"trust/$next.root."}
        holder=${holder%.sig}
        show "$file" > "$work/sig"
        verify "$next.root" sig "$next.roster" "$holder" root.v1@matchmark && by_new=$((by_new + 1))
        [ "$next" -gt 1 ] && verify "$next.root" sig "$before.roster" "$holder" root.v1@matchmark && by_old=$((by_old + 1))
    done
    [ "$by_new" -ge "$(threshold "$next" root)" ] || fault "$path: signed by $by_new of its own holders"
    [ "$next" -eq 1 ] || [ "$by_old" -ge "$(threshold "$before" root)" ] ||
        fault "$path: signed by $by_old of the holders before"
}

# The number of people that a class wants under a root.
threshold() { block "$work/$1.root" thresholds | awk -v class="$2" '$1 == class { print $2 }'; }

# Checks the statement of person $2 at path $1 for namespace $3 about manifest $4, under the root in force.
statement() {
    local path=$1 person=$2 namespace=$3 manifest=$4 role
    show "$path" > "$work/statement"
    show "$path.sig" > "$work/sig" || { fault "$path.sig: not there"; return 1; }
    verify statement sig "$number.roster" "$person" "$namespace" || { fault "$path: not signed by $person"; return 1; }
    [ "$(value "$work/statement" person)" = "$person" ] || { fault "$path: another person"; return 1; }
    [ "$(value "$work/statement" repository)" = "$id" ] || { fault "$path: another repository"; return 1; }
    [ "$(value "$work/statement" manifest)" = "$manifest" ] || { fault "$path: for another manifest"; return 1; }
    role=$(value "$work/statement" role)
    block "$work/$number.root" roles | grep -qxF "$person $role" || { fault "$path: $person is not $role"; return 1; }
    block "$work/$number.root" persons | grep -qxF "$person active $(value "$work/statement" name)" ||
        { fault "$path: another name"; return 1; }
}

release() {
    local path=$1 manifest digest person file found counted=" " people=0 class wanted role commit
    manifest=$(value "$work/record" manifest)
    has "approvals/$manifest/manifest" || { lacks "approvals/$manifest/manifest"; return; }
    [ "$(sum "approvals/$manifest/manifest")" = "$manifest" ] || { fault "approvals/$manifest/manifest: other bytes"; return; }
    show "approvals/$manifest/manifest" > "$work/manifest"
    [ "$(value "$work/manifest" repository)" = "$id" ] || fault "approvals/$manifest/manifest: another repository"
    local maker
    maker=$(value "$work/manifest" prepared-by)
    if has "approvals/$manifest/$maker.prepare"; then
        statement "approvals/$manifest/$maker.prepare" "$maker" prepare.v1@matchmark "$manifest"
    else
        fault "approvals/$manifest/$maker.prepare: not there"
    fi
    : > "$work/roles"
    while read -r digest person; do
        found=
        for file in $(names "approvals/$manifest/" | grep -E "/$person(\.[0-9]+)?\.approve\$"); do
            [ "$(sum "$file")" = "$digest" ] && found=$file
        done
        [ -n "$found" ] || { fault "$path: the approval of $person is not there"; continue; }
        statement "$found" "$person" approve.v1@matchmark "$manifest" || continue
        [ "$(value "$work/statement" meaning)" = "approved for use" ] || { fault "$found: approves nothing"; continue; }
        [ "$person" != "$maker" ] || { fault "$found: $person made the change"; continue; }
        case $counted in *" $person "*) continue ;; esac
        counted="$counted$person "
        people=$((people + 1))
        value "$work/statement" role >> "$work/roles"
    done < <(sed -n 's/^approval: //p' "$work/record")
    class=$(value "$work/manifest" class)
    wanted=$(threshold "$number" "$class")
    [ "$people" -ge "${wanted:-999}" ] || fault "$path: $people of ${wanted:-?} have approved"
    for role in $(block "$work/$number.root" thresholds | sed -n "s/^$class [0-9]* *//p"); do
        [ "$(grep -cxF "${role%:*}" "$work/roles")" -ge "${role#*:}" ] || fault "$path: too few approved as ${role%:*}"
    done
    while read -r digest _; do
        file=resolved/${digest:0:2}/$digest.json
        has "$file" || { lacks "$file"; continue; }
        [ "$(sum "$file")" = "$digest" ] || fault "$file: other bytes"
    done < <(block "$work/manifest" resolved)
    commit=$(value "$work/manifest" commit)
    if git -C "$repository" cat-file -e "$commit^{commit}" 2>/dev/null; then
        while read -r digest file; do
            found=$(git -C "$repository" cat-file blob "$commit:$file" 2>/dev/null | sha256sum | cut -d' ' -f1)
            [ "$found" = "$digest" ] || fault "$commit:$file: other bytes"
        done < <(block "$work/manifest" sources)
    else
        lacks "the commit $commit of the sources"
    fi
}

# The repository as such: whole, shown as it is, and nothing but plain files with plain names where people sign.
protected=(trust approvals resolved ledger register)
own=$(git -C "$repository" rev-parse --git-common-dir)
case $own in /*) ;; *) own=$repository/$own ;; esac
if [ -e "$own/shallow" ] || [ "$(git -C "$repository" rev-parse --is-shallow-repository)" = true ]; then lacks "the beginning of the history"; fi
[ ! -e "$own/info/grafts" ] || fault "info/grafts: another order of commits"
[ ! -e "$own/objects/info/alternates" ] || lacks "the objects that objects/info/alternates names"
while read -r name; do fault "$name: an object is shown in place of another"; done \
    < <(git -C "$repository" for-each-ref --format='%(refname)' refs/replace/)
while read -r mode _ _ path; do
    case $mode in 100644) ;; *) fault "$path: no plain file" ;; esac
    case $path in *[!a-z0-9._/-]*) fault "$path: no plain name" ;; esac
done < <(git -C "$repository" -c core.quotePath=true ls-tree -r "$revision" -- "${protected[@]}")
# Each commit against each of its parents: what is there stays as it is.
while read -r path; do fault "$path: changed or taken out by a commit"; done < <(
    git -C "$repository" rev-list "$revision" |
        git -C "$repository" -c core.quotePath=true diff-tree --stdin -m -r --no-renames --diff-filter=MDT --name-only --no-commit-id \
            -- "${protected[@]}" | sort -u)

id=
number=0
if [ -n "$pinned" ] && [ "$(sum trust/1.root)" != "$pinned" ]; then fault "trust/1.root: not the root that was made known"; fi
prev=none
seq=1
while path=$(printf 'ledger/%03d/%06d.record' $((seq / 1000)) "$seq") && has "$path"; do
    show "$path" > "$work/record"
    [ "$(value "$work/record" seq)" = "$(printf '%06d' "$seq")" ] || fault "$path: another place"
    [ "$(value "$work/record" prev)" = "$prev" ] || fault "$path: follows another record"
    kind=$(value "$work/record" kind)
    if [ "$kind" = root ]; then
        number=$((number + 1))
        root "$number" || break
        [ -n "$id" ] || id=$(value "$work/1.root" repository)
    fi
    [ "$number" -gt 0 ] || { fault "$path: no root is in force"; break; }
    [ "$(value "$work/record" root)" = "$number $(sum "trust/$number.root")" ] || fault "$path: another root"
    [ "$(value "$work/record" repository)" = "$id" ] || fault "$path: another repository"
    person=$(value "$work/record" person)
    show "$path.sig" > "$work/sig" || fault "$path.sig: not there"
    verify record sig "$number.roster" "$person" release.v1@matchmark || fault "$path: not sealed by $person"
    [ "$kind" != release ] || release "$path"
    prev=$(sum "$path")
    seq=$((seq + 1))
done
beyond=$(git -C "$repository" ls-tree -r --name-only "$revision" -- ledger/ | grep -c '\.record$')
[ "$beyond" -eq $((seq - 1)) ] || fault "ledger: $beyond records, and the chain ends after $((seq - 1))"
[ "$seq" -gt 1 ] || lacks "the ledger"
echo "ledger $(printf '%06d' $((seq - 1))) $prev, root $number"
if [ "$missing" -gt 0 ]; then exit 3; fi
if [ "$faults" -gt 0 ]; then exit 1; fi

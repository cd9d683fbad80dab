#!/bin/sh
# Adds to each image that docker-compose.yml and the Dockerfiles name the digest that its registry
# has for it now, so that what is run later is what was looked at. Digests are looked up, all of
# them, before anything is written: where a registry cannot be reached, nothing is changed.
# Run it again for newer digests. It needs docker with buildx.
set -eu
cd "$(dirname "$0")/.."
files='docker-compose.yml deploy/Dockerfile deploy/proxy.Dockerfile deploy/accounts.Dockerfile'

# Images with a version; our own have none.
images=$(sed -n -E 's/^(FROM|[[:space:]]*image:) +([^ @]+:[^ @]+)(@sha256:[0-9a-f]+)?( .*)?$/\2/p' $files | sort -u)
changes=''
for image in $images; do
	digest=$(docker buildx imagetools inspect "$image" --format '{{.Manifest.Digest}}') ||
		{ echo "The digest of $image could not be looked up; nothing is changed." >&2; exit 1; }
	echo "$digest" | grep -qxE 'sha256:[0-9a-f]{64}' ||
		{ echo "For $image the registry answers \"$digest\", which is no digest; nothing is changed." >&2; exit 1; }
	changes="$changes
s#([ ])$image(@sha256:[0-9a-f]+)?( |\$)#\1$image@$digest\3#"
done
for file in $files; do
	sed -E "$changes" "$file" >"$file.pinned"
	cat "$file.pinned" >"$file" # which keeps its mode
	rm "$file.pinned"
done
echo "$images" | sed 's/$/ is pinned./'

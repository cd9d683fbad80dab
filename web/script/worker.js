/// <reference lib="webworker" />
// Stands between the pages and the network. The server puts the addresses of
// the app's own files before the first line, as KEPT.


// Package migrations holds the schema as numbered SQL files, up and down. The
// newest number is the schema that this program needs.
package migrations

import "embed"

// Files are the numbered migrations.
//
//go:embed *.up.sql *.down.sql
var Files embed.FS

// Roles makes the owner's and the server's role if they are missing. An
// administrator of the cluster runs it once, before the first migration.
//
//go:embed roles.sql
var Roles string

// The roles that Roles makes.
const (
	Owner  = "lathmark_owner"  // owns the schema; migrations run as it
	Server = "lathmark_server" // what the server logs in as; owns nothing
)

// Latest is the number of the newest migration.
const Latest = 28

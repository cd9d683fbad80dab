# `make` alone names the targets.

# The race detector needs a C compiler; without one the tests run without it.
RACE := $(shell command -v gcc >/dev/null 2>&1 && echo -race)

LINT := go run github.com/golangci/golangci-lint/v2/cmd/golangci-lint@v2.15.0

help: ## print this text
	@awk -F ': .*## ' '/^[a-z]+:.*## / { printf "make %-8s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

setup: ## install PostgreSQL and Chromium where they are missing
	@sh deploy/setup.sh

test: setup ## vet and test everything, on a PostgreSQL and a browser of its own
	go vet ./...
	go test $(RACE) ./...

demo: setup ## run a server with an invented firm; options in DEMO, as DEMO='--fresh'
	go build -o bin/lathmark ./cmd/lathmark
	exec bin/lathmark demo $(DEMO)

lint: ## the code checks and the import bans; the first run builds the checker
	$(LINT) run ./...
	go test -run 'Imports|PurePackages|Bans' ./cmd/lathmark

bench: ## how fast the adjustment is, and what it allocates
	go test -run '^$$' -bench . -benchmem ./domain/geometry

trial: ## tape and open 10,000 simulated tails: what the set-out is worth on site
	go run ./cmd/trial

.PHONY: help setup demo test lint bench trial

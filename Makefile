# `make` alone names the targets.

# Packages that only do sums, for seconds on end: the race detector would make that
# minutes, and they start no goroutines but in the tests named Concurrent.
SUMS := ./domain/geometry/... ./domain/roomsheet/...

LINT := go run github.com/golangci/golangci-lint/v2/cmd/golangci-lint@v2.15.0

help: ## print this text
	@awk -F ': .*## ' '/^[a-z]+:.*## / { printf "make %-8s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

setup: ## install PostgreSQL and Chromium where they are missing
	@sh deploy/setup.sh

test: setup ## vet and test everything, on a PostgreSQL and a browser of its own
	go vet ./...
	go test $(SUMS)
	go test -race -run Concurrent $(SUMS)
	go test -race $$(go list ./... | grep -vxF -e "$$(go list $(SUMS))")

lint: ## the code checks and the import bans; the first run builds the checker
	$(LINT) run ./...
	go test -run 'Imports|PurePackages|Bans' ./cmd/lathmark

bench: ## how fast the adjustment is, and what it allocates
	go test -run '^$$' -bench . -benchmem ./domain/geometry

trial: ## tape and open 10,000 simulated tails: what the set-out is worth on site
	go run ./cmd/trial

.PHONY: help setup test lint bench trial

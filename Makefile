# `make` alone names the targets.

# The race detector needs a C compiler; without one the tests run without it. It
# costs ten times the time and finds something only where goroutines run side by
# side: in all tests of the packages whose own code starts them, and elsewhere in
# the test files that do. Those packages' other tests run without it; no test runs twice.
RACE := $(shell command -v gcc >/dev/null 2>&1 && echo -race)
GO := grep -rlE '^[[:space:]]+go [a-z]|[.]Go.func' domain persistence server
STARTS := $(shell $(GO) --include=*.go --exclude=*_test.go | xargs -n1 dirname | sort -u | sed 's,^,lathmark/,')
SIDE := $(shell $(GO) --include=*_test.go)
RACERS := $(filter-out $(STARTS),$(addprefix lathmark/,$(sort $(patsubst %/,%,$(dir $(SIDE))))))
BESIDE := ^($(shell grep -hoE '^func Test[A-Za-z0-9_]+' $(SIDE) | cut -c6- | paste -sd'|' -))$$

# The tests in a browser come last and alone, without the detector: a page that
# is answered too late is one that the phone goes on without.
BROWSER := lathmark/cmd/lathmark lathmark/web

# go vet has looked at all of it before: go test need not, which would do so once for each
# set of checks and once more for the detector, down to the last module.
TEST := go test -vet=off

LINT := go run github.com/golangci/golangci-lint/v2/cmd/golangci-lint@v2.15.0

# What the program is made of, and what is known of it.
PARTS := go run github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod@v1.10.0
NOTICES := go run github.com/google/go-licenses@v1.6.0
VULN := golang.org/x/vuln/cmd/govulncheck@v1.9.0
COMMIT = $(shell git rev-parse --short=12 HEAD 2>/dev/null || echo unknown)

# npm is for checking scripts only: nothing that it installs is built in or served.
CHECKER := web/node_modules/.package-lock.json

BENCH ?= .

help: ## print this text
	@awk -F ': .*## ' '/^[a-z]+:.*## / { printf "make %-8s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

setup: ## install PostgreSQL, Chromium and Node.js where they are missing
	@sh deploy/setup.sh test

test: setup script sums ## vet and test everything, on a PostgreSQL and a browser of its own
	go vet ./...
	$(TEST) $(RACE) $(STARTS)
	$(TEST) $(RACE) -run '$(BESIDE)' $(RACERS)
	$(TEST) -skip '$(BESIDE)' $(RACERS)
	LATHMARK_SUMS=$(CURDIR)/bin/sums.wasm $(TEST) $$(go list ./... | grep -vxF "$$(printf '%s\n' $(STARTS) $(RACERS) $(BROWSER))")
	$(TEST) -timeout 30m -p 1 $(BROWSER)

script: $(CHECKER) ## check the types of the pages' scripts, and test them
	cd web && npm run --silent types && npm run --silent test

$(CHECKER): web/package.json web/document/package.json web/package-lock.json web/.npmrc
	cd web && npm ci --silent && touch node_modules/.package-lock.json

PROGRAMS := ./cmd/lathmark ./cmd/demo ./cmd/sums

# Only what the programs themselves need: the tests' modules are fetched by the tests.
modules:
	@command -v go >/dev/null || { echo 'Go is missing. Install Go 1.26 or newer: https://go.dev/dl' >&2; exit 1; }
	@GOPROXY=off go list -deps $(PROGRAMS) >/dev/null 2>&1 || { echo "Fetching Go's modules ..."; \
		go list -deps $(PROGRAMS) >/dev/null || \
		{ echo "Go could not fetch the modules; its message is above. Is this machine online?" >&2; exit 1; }; }

sums: modules ## build the sums that a phone does without signal into web/sums
	@echo 'Building what a phone works out without signal ...'
	@GOOS=wasip1 GOARCH=wasm go build -buildmode=c-shared -trimpath -ldflags='-s -w' -o bin/sums.wasm ./cmd/sums
	@gzip -9nc bin/sums.wasm > web/sums/sums.wasm.gz

demo: postgresql sums ## run a server with an invented firm; options in DEMO, as DEMO='--fresh'
	@echo 'Building the server (some minutes the first time, then seconds) ...'
	@go build -o bin/ ./cmd/demo ./cmd/lathmark
	@exec bin/demo $(DEMO)

postgresql:
	@sh deploy/setup.sh demo

lint: ## the code checks and the import bans; the first run builds the linter
	$(LINT) run ./...
	go test -run 'Imports|PurePackages|Bans' ./cmd/lathmark

# The parts are those of the program, read from itself. The tools are fetched when they are asked for.
parts: sums ## write the list of the server's parts (CycloneDX) and the notices of their licences into bin/parts
	@rm -rf bin/parts && mkdir -p bin/parts
	go build -trimpath -o bin/lathmark ./cmd/lathmark
	$(PARTS) bin -json -licenses -version v0.0.0-$(COMMIT) -output bin/parts/lathmark.cdx.json bin/lathmark
	$(NOTICES) save ./cmd/lathmark --save_path=bin/parts/notices 2>bin/parts/log || { cat bin/parts/log; exit 1; }
	@rm bin/parts/log; cp "$$(go env GOROOT)/LICENSE" bin/parts/notices/LICENSE-of-Go
	@for m in $$(bin/lathmark version | sed -n 's/^  \([^ ]*\) .*/\1/p'); do [ -n "$$(find "bin/parts/notices/$$m" -type f)" ] || \
		{ echo "$$m has no notice in bin/parts/notices" >&2; exit 1; }; done

vuln: ## look the server's parts up in Go's database of known vulnerabilities
	go build -trimpath -o bin/lathmark ./cmd/lathmark
	GOBIN=$(CURDIR)/bin go install $(VULN)
	@status=0; bin/govulncheck -mode=binary bin/lathmark || status=$$?; [ $$status != 1 ] || \
		echo 'Nothing was checked. Where https://vuln.go.dev cannot be reached, run `make vuln` on a machine that' \
			'reaches it, or give a copy of the database: bin/govulncheck -db file:///COPY -mode=binary bin/lathmark' >&2; \
		exit $$status

bench: setup sums ## the speed of the calculation, and of the server under load; a part of it: BENCH=Load/dashboard
	go test -run '^$$' -bench '$(BENCH)' -benchmem ./domain/geometry ./domain/sequence ./domain/programme
	go test -run '^$$' -bench '$(BENCH)' -benchtime 1x -timeout 30m ./cmd/lathmark

trial: ## simulate 10,000 tails: how well the set-out does with assumed error rates
	go run ./cmd/trial

.PHONY: help setup postgresql modules demo test script sums lint parts vuln bench trial

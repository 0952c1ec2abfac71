# What CI runs, by hand.
.PHONY: all fmt vet test race reference bench fuzz

all: fmt vet test

fmt:
	@test -z "$$(gofmt -l .)" || { gofmt -l .; echo "run gofmt -w on these"; exit 1; }

vet:
	go vet ./...
	go vet -tags reference ./...

test:
	go test ./...

race:
	go test -race -short ./...

# Needs the Debian packages that .ci/run installs; skips what is absent.
reference:
	.ci/reference

bench:
	go test -tags reference -run '^$$' -bench . -benchmem ./...

# Each fuzz target for FUZZTIME: a minute by default.
FUZZTIME ?= 60s
fuzz:
	.ci/fuzz $(FUZZTIME)

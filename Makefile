# make demo     build, plan the demo scan, say where the picture is
# make test     everything that is checked before a change is taken
# make laws     the laws of the tests on new random cases, thirty times as many (minutes)
# make bench    speed of each stage
# make cross    build for every system that is supported
# make peers    speed beside general libraries, which it installs (Debian only, minutes)
GO      ?= go
VERSION ?= $(shell git describe --tags --always --dirty 2>/dev/null || echo dev)
BUILD   := CGO_ENABLED=0 $(GO) build -trimpath -ldflags "-s -w -X main.version=$(VERSION)"
CROSS   := linux/amd64 linux/arm64 darwin/amd64 darwin/arm64 windows/amd64 windows/arm64
DEMO    := dist/demo-plan

.PHONY: build demo test laws lint bench cross peers samples clean

build:
	$(BUILD) -o bin/ ./cmd/pourwright

demo: build
	rm -rf $(DEMO)
	mkdir -p dist
	bin/pourwright demo --out $(DEMO)

test: lint
	$(GO) test -timeout 30m ./...

laws:
	$(GO) test -timeout 60m $$(grep -rl lawtest.Check --include='*_test.go' . | xargs -n 1 dirname | sort -u) \
		-rapid.checks=3000 -rapid.seed=$$(date +%s)

lint:
	$(GO) mod download
	@unformatted=$$(gofmt -l .); test -z "$$unformatted" || { echo "run gofmt on:"; echo "$$unformatted"; exit 1; }
	$(GO) vet ./...
	$(GO) tool staticcheck ./...

bench:
	$(GO) test -run '^$$' -bench . -benchmem ./...

cross:
	@set -e; for target in $(CROSS); do \
		echo "$$target"; \
		GOOS=$${target%/*} GOARCH=$${target#*/} $(BUILD) -o dist/$${target%/*}-$${target#*/}/ ./cmd/pourwright; \
	done

peers:
	peers/run.sh

samples:
	$(GO) run ./samples/make

clean:
	rm -rf bin dist

# onegrain: see README.md for users, DEVELOPERS.md for contributors.
export GOAMD64 = v1
export GOFLAGS = -mod=readonly
GO ?= go

.PHONY: help build run test check bench clean

help: ## list the targets
	@grep -E '^[a-z]+:.*## ' $(MAKEFILE_LIST) | sed 's/:.*## /\t/' | expand -t 10

build: ## bin/onegrain
	$(GO) build -trimpath -o bin/onegrain ./cmd/onegrain

run: build ## build, then the main job: results/puck-window
	bin/onegrain run studies/catalog/puck-window.toml

check: ## formatting and vet
	@test -z "$$(gofmt -l cmd sim studies analysis)" || { gofmt -l cmd sim studies analysis; exit 1; }
	$(GO) vet ./...

test: ## install what the tests need (apt, npm; as root) and run them all
	testdata/install.sh
	ONEGRAIN_READERS=1 $(GO) test ./...

bench: ## the engine: CPU time, memory and accuracy per cell of twelve scenes
	$(GO) test -run '^$$' -bench . -benchtime 3x -timeout 60m ./sim/growth

clean: ## remove what was built
	rm -rf bin

# onegrain: see README.md for users, DEVELOPERS.md for contributors.
export GOAMD64 = v1
export GOFLAGS = -mod=readonly
GO ?= go

.PHONY: evidence evidence-page help build run test check bench docs shape clean reliability reliability-long opinion-long calibration-long

help: ## list the targets
	@grep -E '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed 's/:.*## /\t/' | expand -t 18

build: ## bin/onegrain
	$(GO) build -trimpath -o bin/onegrain ./cmd/onegrain

run: build ## build, then the main job: results/puck-window
	bin/onegrain run studies/catalog/puck-window.toml

check: ## formatting, vet, and builds for other systems: the program for Windows and macOS, all else for a browser
	@test -z "$$(gofmt -l cmd sim studies analysis)" || { gofmt -l cmd sim studies analysis; exit 1; }
	$(GO) vet ./...
	for system in windows darwin; do GOOS=$$system $(GO) vet ./cmd/onegrain || exit 1; done
	GOOS=js GOARCH=wasm $(GO) build $$($(GO) list ./... | grep -v '/cmd/onegrain$$')

test: ## install what the tests need (apt, npm; as root) and run them all
	testdata/install.sh
	ONEGRAIN_READERS=1 ONEGRAIN_SLURM=1 $(GO) test ./...

# tests that say how often they tried: kills, power loss, failing disks, damage, shards together, signals
reliable = TestKill|TestPowerLoss|TestEvery|TestAFolderThatMustNot|TestTwoStarts|TestSignals|TestSameContent
fuzzed   = studies:FuzzStudy studies:FuzzDesignTable studies:FuzzMask studies/table:FuzzManifest studies/table:FuzzParquet analysis/logbook:FuzzSheet
FUZZ    ?= 30s

reliability: ## nothing is lost, whatever is killed, fails or breaks: the short form, some minutes
	ONEGRAIN_RELIABILITY=ci $(GO) test -count=1 -v -timeout 60m -run '$(reliable)' ./studies/table ./studies/run ./studies ./cmd/onegrain
	@for f in $(fuzzed); do $(GO) test -run '^$$' -fuzz "^$${f#*:}$$" -fuzzminimizetime 10x -fuzztime $(FUZZ) ./$${f%:*} || exit 1; done

reliability-long: ## the long form: hours, of which fuzzing takes five
	ONEGRAIN_RELIABILITY=long $(GO) test -count=1 -v -timeout 0 -run '$(reliable)' ./studies/table ./studies/run ./studies ./cmd/onegrain
	@for f in $(fuzzed); do $(GO) test -run '^$$' -fuzz "^$${f#*:}$$" -fuzzminimizetime 10x -fuzztime 1h ./$${f%:*} || exit 1; done

calibration-long: ## are chances over laws as often right as they say: 200 logbooks, half an hour
	ONEGRAIN_RELIABILITY=long $(GO) test -count=1 -v -timeout 0 -run 'TestCalibration' ./analysis/belief

opinion-long: ## the engine against the slow second opinion on 200 random bodies: some minutes
	ONEGRAIN_RELIABILITY=long $(GO) test -count=1 -v -timeout 60m -run 'TestOpinion' ./sim

bench: ## the engine per cell of twelve scenes; overhead and efficiency of workers; a report of 100,000 runs
	$(GO) test -run '^$$' -bench . -benchtime 3x -timeout 60m ./sim/growth
	$(GO) test -run '^$$' -bench . -benchtime 1x -timeout 60m ./studies/run ./cmd/onegrain

evidence: build ## laws found outside the project against the program: results/evidence/evidence.html
	$(GO) run ./cmd/evidence

evidence-page: build ## the same, and the copy of it that reports carry
	$(GO) run ./cmd/evidence -compact analysis/evidence/evidence.json

docs: build ## draw the pictures of README.md anew from the catalog
	rm -rf .build/docs
	bin/onegrain draw studies/catalog/puck-window.toml --case 30 --out .build/docs
	bin/onegrain draw studies/catalog/growth-sectors.toml --case 2 --pictures sectors,corner-sectors --out .build/docs
	bin/onegrain draw studies/catalog/strip-seed-row.toml --case 4 --out .build/docs
	cp .build/docs/puck-window-case-30-replicate-1-grains.png studies/catalog/puck-window.png
	cp .build/docs/growth-sectors-case-2-replicate-1-sectors.png studies/catalog/growth-sectors.png
	cp .build/docs/growth-sectors-case-2-replicate-1-corner-sectors.png studies/catalog/growth-sectors-corner.png
	cp .build/docs/strip-seed-row-case-4-replicate-1-grains.png studies/catalog/strip-seed-row.png

shape: ## the shape of the source: who imports whom, lengths of files and functions, exports
	$(GO) test -count=1 -v -run "TestHouse|TestPackageDocs" ./sim

clean: ## remove what was built
	rm -rf bin

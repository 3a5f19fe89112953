# halflid. `make` alone prints this list.
GO ?= go
TOOL = $(GO) tool -modfile=tools/go.mod

.PHONY: help build run test race lint format golden fuzz bench quality human scene picture vuln check

help: ## print this list
	@grep -hE '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 12

build: ## build bin/halflid
	$(GO) build -o bin/halflid ./cmd/halflid

run: ## open the demo scene (make run FILE=photo.jpg opens a photo)
	$(GO) run ./cmd/halflid $(FILE)

test: ## the tests, as in the README
	$(GO) test ./...

race: ## the tests under the race detector
	$(GO) test -race ./...

lint: ## vet and staticcheck
	$(GO) vet ./...
	$(TOOL) staticcheck ./...

format: ## rewrite the sources in the one format
	$(TOOL) gofumpt -w cmd tui imageproc palette

golden: ## rewrite the recorded frames and outputs; read the difference before you commit it
	$(GO) test ./cmd/halflid -count=1 -update

fuzz: ## each fuzz target with FUZZTIME inputs (default 100000x; a time like 5m works too)
	@set -e; $(GO) list ./... | while read p; do \
	  for f in $$($(GO) test -list '^Fuzz' $$p | grep '^Fuzz' || true); do \
	    echo "$$p $$f"; $(GO) test -run '^$$' -fuzz "^$$f$$" -fuzztime $${FUZZTIME:-100000x} -fuzzminimizetime 200x $$p; done; done

bench: ## the figures of DEVELOPERS.md: ratios inside one run
	HALFLID_BENCH=1 $(GO) test -run '^Test(Figures|FolderFigures)$$' -count=1 -v -timeout 30m ./cmd/halflid | grep -v '^=== '

quality: ## plans against generic ways, stability, focus; sheets into bin/quality (HALFLID_PHOTOS=folder adds photographs)
	HALFLID_HEAVY=1 HALFLID_SHEETS=$${HALFLID_SHEETS:-$(CURDIR)/bin/quality} $(GO) test -count=1 -timeout 30m -v \
	  -run '^Test(Quality|KnownShapes|Stability|Focus|Poles)$$' ./imageproc/mass/quality

human: ## shapes against divisions drawn by people (HALFLID_BSDS=folder with images/test and groundTruth/test)
	$(GO) test -count=1 -timeout 60m -v -run '^TestHuman$$' ./imageproc/mass/quality

scene: ## paint the demo scene again
	$(GO) run ./cmd/harbour -o cmd/halflid/demo/harbour.jpg

picture: ## paint the README's picture of the program again
	$(GO) test ./cmd/halflid -run '^TestReadmePicture$$' -update

vuln: ## known holes in what the program uses, where the database can be reached
	@mkdir -p bin; $(TOOL) govulncheck ./... >bin/vuln.txt 2>&1; r=$$?; cat bin/vuln.txt; \
	if [ $$r = 0 ]; then exit 0; fi; \
	if grep -qiE 'dial tcp|no such host|timeout|forbidden|fetching vulnerabilities' bin/vuln.txt; then \
	  echo "govulncheck: its database cannot be reached here: not checked"; else exit $$r; fi

check: lint test race vuln ## everything that must pass before a commit
	@test -z "$$($(TOOL) gofumpt -l cmd tui imageproc palette)" || { echo "not formatted:"; $(TOOL) gofumpt -l cmd tui imageproc palette; exit 1; }

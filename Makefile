# Few targets; each is one or two commands that can be typed by hand.

.PHONY: demo test quick golden bench script shots

demo:            ## plan the demonstration job and write its papers to ./demo-out
	go run ./cmd/scumble demo --once -o demo-out

test:            ## everything, with the independent programs; installs them on Debian
	sh .ci/install
	go vet ./... && go vet -tags oracle ./...
	go tool staticcheck -tags oracle ./...
	go test -tags oracle ./...
	cd tools && go run ./bundle -check

quick:           ## what needs Go alone
	go vet ./...
	go test ./...

golden:          ## rewrite golden files; read the difference before committing
	go test ./... -update

bench:           ## timings; write them to bench/RESULTS.md with the machine
	go test -run '^$$' -bench . -benchmem ./bench ./wetedge ./drying ./vapour

script:          ## make web/asset/files/board.js of the sources in web/script
	cd tools && go run ./bundle

shots:           ## pictures of the board for the guide
	go test -tags oracle ./web/browser -run TestShots -shots ../../docs/pictures

module example.org/headroom

go 1.25.0

require (
	cuelang.org/go v0.17.1
	github.com/google/go-cmp v0.7.0
	github.com/rogpeppe/go-internal v1.16.0
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3
	github.com/spf13/pflag v1.0.10
	github.com/yuin/goldmark v1.8.7
	go.yaml.in/yaml/v3 v3.0.4
	golang.org/x/net v0.56.0
	golang.org/x/term v0.44.0
	golang.org/x/text v0.38.0
	gonum.org/v1/gonum v0.17.0
	pgregory.net/rapid v1.2.0
)

require (
	github.com/cockroachdb/apd/v3 v3.2.3 // indirect
	github.com/emicklei/proto v1.14.3 // indirect
	github.com/google/uuid v1.6.0 // indirect
	github.com/mitchellh/go-wordwrap v1.0.1 // indirect
	github.com/pelletier/go-toml/v2 v2.3.1 // indirect
	github.com/protocolbuffers/txtpbfmt v0.0.0-20260420112717-c39628bde8b5 // indirect
	golang.org/x/sys v0.46.0 // indirect
	golang.org/x/tools v0.45.0 // indirect
	google.golang.org/protobuf v1.33.0 // indirect
)

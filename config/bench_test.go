package config

import "testing"

func BenchmarkPlants(b *testing.B) {
	for b.Loop() {
		if _, err := Plants(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	content := Example()
	for b.Loop() {
		if _, err := Load(Options{File: "b.yaml", Content: content}); err != nil {
			b.Fatal(err)
		}
	}
}

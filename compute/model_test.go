package compute_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/templates"
)

// load is the shipped model; on trial, the one that is tried.
func load(t require.TestingT, s compute.System) *compute.Model {
	if t, ok := t.(*trial); ok {
		return t.model(s)
	}
	m, err := compute.Load(templates.FS, s)
	require.NoError(t, err)
	return m
}

func TestLoadBothSystems(t *testing.T) {
	load(t, compute.US)
	load(t, compute.Metric)
}

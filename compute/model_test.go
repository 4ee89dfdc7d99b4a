package compute_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/templates"
)

func load(t testing.TB, s compute.System) *compute.Model {
	m, err := compute.Load(templates.FS, s)
	require.NoError(t, err)
	return m
}

func TestLoadBothSystems(t *testing.T) {
	load(t, compute.US)
	load(t, compute.Metric)
}

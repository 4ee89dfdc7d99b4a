// Package logged fits ratios of logged minutes to estimated ones, by stage, with
// how far they are to be trusted. It knows nothing of cells, files or money.
//
// For each car and stage y = ln(logged / estimate). The model is
//
//	y = theta[stage] + u[car] + e[car, stage]
//
// with theta normal about 0 (Prior), u of one scatter, e of another. Both scatters
// are estimated with theta. A car's u and e are Student's t together: one car far
// off counts less. Given the two scatters, theta is a least-squares solution with
// the prior as further rows, and its spread the inverse of the curvature there
// (Laplace); over the scatters it is summed on a grid.
//
// What cannot be told apart is not told apart: there is one ratio a stage.
package logged

#version 330 core
// One texel of a layer is one pixel; its colours are multiplied by its opacity already.
flat in ivec2 origin;
uniform sampler2D layer;
uniform float opacity;
out vec4 color;
void main() {
  color = opacity * texelFetch(layer, ivec2(gl_FragCoord.xy) - origin, 0);
}

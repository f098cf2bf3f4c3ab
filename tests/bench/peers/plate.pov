// Peer: POV-Ray, the plate of plate.hpp as functions of functions on a plane seen straight on.
// Left, Top, Wide, High (mm): the window seen, from the plate's upper left corner.
#version 3.7;
global_settings { assumed_gamma 1 }
#ifndef (Left) #declare Left = 0; #end
#ifndef (Top) #declare Top = 0; #end
#ifndef (Wide) #declare Wide = 192; #end
#ifndef (High) #declare High = 50; #end

#declare Wave = 2*pi/12;
#declare Turn = 2*pi*0.015;
#declare ToDisc = 2/sqrt(pi);
#declare ToSquare = sqrt(pi)/2;
#declare BarLength = 51.2*62.5*66.25/484;

// Plates of 4 and 3 mm: the place within a pair decides; the stack ends with a 4.
#declare Steel = function(h) { select(h - 7*floor(h/7) - 4, 1, 0) }
#declare First = function(x, y, z) { Steel(4*z) }
// i: the piece; odd ones lie end for end.
#declare InFour = function(x, y, z, i) {
  First(select(mod(i, 2) - 0.5, i*80 + x, (i + 1)*80 - x)/3.2, y*0.8, select(mod(i, 2) - 0.5, z - i*13.25, (i + 1)*13.25 - z)) }
#declare Four = function(x, y, z) { InFour(x, y, z, min(max(floor(z/13.25), 0), 3)) }
#declare InFive = function(x, y, z, i) {
  Four(select(mod(i, 2) - 0.5, i*51.2 + x, (i + 1)*51.2 - x)/3.2, y*0.8, 4*select(mod(i, 2) - 0.5, z - i*13.25, (i + 1)*13.25 - z)) }
#declare Five = function(x, y, z) { InFive(x, y, z, min(max(floor(z/13.25), 0), 4)) }
#declare Drawn = function(x, y, z) { Five(x*51.2/BarLength, y*62.5/22, z*66.25/22 + 33.125) }

#declare FromDiscY = function(x, y, z, r) { Drawn(x, r, r*atan2(z/y, 1)*4/pi) }
#declare FromDiscZ = function(x, y, z, r) { Drawn(x, r*atan2(y/z, 1)*4/pi, r) }
#declare Signed = function(x, r) { select(x, -r, r) }
#declare FromDisc = function(x, y, z) {
  select(abs(z) - abs(y), FromDiscY(x, y, z, Signed(y, sqrt(y*y + z*z)*ToSquare)),
    FromDiscZ(x, y, z, Signed(z, sqrt(y*y + z*z)*ToSquare))) }
#declare Turned = function(x, y, z, c, s) { FromDisc(x, c*y + s*z, c*z - s*y) }
#declare Twisted = function(x, y, z) { Turned(x, y, z, cos(Turn*x), sin(Turn*x)) }
#declare FromSquareY = function(x, y, z, a) { Twisted(x, y*ToDisc*cos(a), y*ToDisc*sin(a)) }
#declare FromSquareZ = function(x, y, z, a) { Twisted(x, z*ToDisc*sin(a), z*ToDisc*cos(a)) }
#declare FromSquare = function(x, y, z) { select(abs(z) - abs(y), FromSquareY(x, y, z, z/y*pi/4), FromSquareZ(x, y, z, y/z*pi/4)) }
#declare Flattened = function(x, y, z) { FromSquare(x*450/484, y*22/50, z*22/9) }
#declare Pressed = function(x, y, z, c, s) {
  Flattened(x - 2.5/9*(0.75*x + s*c/(4*Wave)), y, (z + 1.25*c)*9/(9 - 1.25*(1 + c*c))) }
#declare Ridged = function(x, y, z) { Pressed(x, y, z, cos(Wave*x), sin(Wave*x)) }
// The picture's top is the plate's y = -25, so its y counts against the scene's.
#declare Plate = function(x, y, z) { Ridged(x, -y, 0.95 + 0.04*y) }

camera { orthographic location <Left + Wide/2, 25 - Top - High/2, -10> direction <0, 0, 1> right <Wide, 0, 0> up <0, High, 0> }
plane { z, 0 pigment { function { Plate(x, y, z) } color_map { [0 rgb 0] [1 rgb 1] } } finish { ambient 1 diffuse 0 } }
